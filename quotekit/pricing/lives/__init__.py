"""Lives that come from a formula: bearings, parts that wear by a Weibull law, planned replacement.

Helpers for the person who fills in `Life years`; no price of a quote is worked out here.
"""
