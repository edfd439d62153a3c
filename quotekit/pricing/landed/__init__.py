"""Parts for accepted jobs at least landed cost: what is needed, what is there, what to buy where."""
