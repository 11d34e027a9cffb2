"""Fields put together: forms, tables edited in place, dialogs in which a person decides."""
