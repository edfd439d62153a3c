"""A folder of jobs priced from one shop book: what each job comes to, what is kept of it, who prices what and in which
order it is told. It opens nothing; `cli/batch*.py` read files, start processes and write.
"""
