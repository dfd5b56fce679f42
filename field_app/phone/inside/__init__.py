"""What runs inside the browser of a phone: opens the records, and hands them to the screens."""

from field_app.phone.inside.start import run_in_page

__all__ = ["run_in_page"]
