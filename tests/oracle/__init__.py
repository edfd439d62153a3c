"""A second, slow and plain implementation of the pricing contract, written from DESIGN.md 5 without the engine."""
