"""What suppliers' lists would change in the shop book, and what that would do to the shop: pure rules, one a file."""
