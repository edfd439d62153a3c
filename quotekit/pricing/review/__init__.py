"""What the shop learns from jobs that are done: profit, variances, times against standards, quotes won and lost.

One question a file; `review` asks them all. Nothing here changes a price or a time.
"""
