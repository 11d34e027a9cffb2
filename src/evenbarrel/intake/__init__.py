"""What suppliers send, made into an extract: data sheets, tables, bid files."""
