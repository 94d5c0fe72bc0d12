"""What slidekit itself says, in the language of the talk: phrases, decimal marks, sides.

The English phrase in the code is the key; `<language>/*.po` hold what it is in another language
(GNU gettext's PO format, which translators know). One run speaks one language, set once by
`speak_in` when a storyboard has been read, as a program's locale is: phrases arise in every room,
and handing the language to each function would hide what the functions are about.
"""

from slidekit.wording.catalogue import has_words, in_english, lacking, phrase, phrase_key, speak_in
from slidekit.wording.figures import figures
from slidekit.wording.lists import alternatives, labelled
from slidekit.wording.orientation import sides

__all__ = [
    "alternatives",
    "figures",
    "has_words",
    "in_english",
    "labelled",
    "lacking",
    "phrase",
    "phrase_key",
    "sides",
    "speak_in",
]
