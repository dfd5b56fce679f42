"""The screens. The only room that knows the toolkit they are drawn with.

:func:`screens` gives what the toolkit calls for every page that opens.
"""

from field_app.ui.app import screens
from field_app.ui.code_reader import LARGEST, CodeReader, installed_reader, no_picture
from field_app.ui.home import Home, Room
from field_app.ui.services import Services

__all__ = ["LARGEST", "CodeReader", "Home", "Room", "Services", "installed_reader", "no_picture", "screens"]
