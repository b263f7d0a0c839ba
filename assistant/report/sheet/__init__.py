"""A build record laid out for reading: one order and one wording for paper and page alike."""
