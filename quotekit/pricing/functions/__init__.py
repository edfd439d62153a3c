"""Functions for the cells of a spreadsheet: figures of the shop book for a few arguments, by the engine's own rules."""
