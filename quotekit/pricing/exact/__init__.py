"""Tiers chosen exactly at any size: the rules of DESIGN.md 5.2 to 5.7 as an integer model.

`lines` holds linear sums, `program` flags and rows over whole numbers, one file each states what a set of remedies is
(`selection`), the work it brings (`present`), its hours and labour (`labour`), parts, savings, charges and freight;
`build` puts them together, `solver` hands the program over, `search` proves the choice with the engine's own prices.
"""
