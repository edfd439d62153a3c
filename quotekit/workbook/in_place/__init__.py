"""Changes chosen cells of an owner's workbook and leaves every other byte of it as it is."""
