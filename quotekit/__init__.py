"""Honest, exact, comparable repair quotes for a small shop."""
