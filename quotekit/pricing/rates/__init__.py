"""What the rows of the Rate builder mean: whose each is, and whether it is money, hours or a percentage."""
