"""Parts orders against every order tried, and against a second solver."""
