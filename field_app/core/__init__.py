"""The computing core: values in, values out. No screen, no database, no file but its own tables, no clock."""
