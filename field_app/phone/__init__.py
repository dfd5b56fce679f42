"""The app as a folder of static files for phones: built here, and run in the browser from :mod:`.inside`."""
