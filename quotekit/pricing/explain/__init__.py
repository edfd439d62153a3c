"""Every figure of a quote as a tree of rules, down to the cells: one file a group of rules."""
