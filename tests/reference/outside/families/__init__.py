"""The outside values, one module a family of formulas."""
