"""The bill of a job: what was agreed and done, within consent, less what was paid (`make_bill`)."""
