"""The page of the day: the newest sheet on a phone and the line check."""
