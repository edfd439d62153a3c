"""Any choice of option and extras as whole-number sums, rule for rule as the engine prices it."""
