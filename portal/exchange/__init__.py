"""What comes in and goes out as files: rigs, answers, rows of a spreadsheet, plans."""
