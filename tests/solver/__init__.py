"""The choice of a tier against a second solver, on jobs too large for trying every subset."""
