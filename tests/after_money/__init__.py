"""The money of a job over its life, on random shops, through the command line, beside a plain onlooker's sums."""
