"""Consent: what the customer last agreed to, how far a total may pass it, and what stays that is a matter of safety."""
