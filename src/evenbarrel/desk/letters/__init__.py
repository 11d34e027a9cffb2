"""Letters to suppliers: kept while the document is open, shown, edited, copied, saved, sent."""
