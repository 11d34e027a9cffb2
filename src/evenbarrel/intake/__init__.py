"""What suppliers send, made into a proposal: data sheets, tables, bid files."""
