#!/usr/bin/env python3
"""Makes keyboards.tsv: what a computer shows when a reader types as on a US keyboard, by the computer's layout.

Needs Debian's xkb-data and libxkbcommon0 (`apt-get install xkb-data libxkbcommon0`) and nothing else:

    python3 tests/codes/keyboards.py > tests/codes/keyboards.tsv

Each layout of xkb-data is compiled by libxkbcommon (model pc105) and the key that has a character on the US layout is
pressed, with Shift where the US layout needs it, once without and once with Caps Lock.
"""
import ctypes
import subprocess

LAYOUTS = ["gb", "pl", "de", "at", "ch", "ch(fr)", "cz", "hu", "fr", "be", "es", "it", "pt", "nl", "se", "dk", "no",
           "fi", "ca", "br", "tr"]
SENT = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-/:.]"

xkb = ctypes.CDLL("libxkbcommon.so.0")
for name in ("xkb_context_new", "xkb_keymap_new_from_names", "xkb_state_new"):
    getattr(xkb, name).restype = ctypes.c_void_p


class Names(ctypes.Structure):
    _fields_ = [(field, ctypes.c_char_p) for field in ("rules", "model", "layout", "variant", "options")]


class Keyboard:
    def __init__(self, layout):
        layout, _, variant = layout.rstrip(")").partition("(")
        names = Names(b"evdev", b"pc105", layout.encode(), variant.encode(), b"")
        context = ctypes.c_void_p(xkb.xkb_context_new(0))
        self.keymap = ctypes.c_void_p(xkb.xkb_keymap_new_from_names(context, ctypes.byref(names), 0))
        assert self.keymap.value, layout

    def shows(self, key, shift, caps):
        state = ctypes.c_void_p(xkb.xkb_state_new(self.keymap))
        bit = lambda name: 1 << xkb.xkb_keymap_mod_get_index(self.keymap, name)
        xkb.xkb_state_update_mask(state, bit(b"Shift") if shift else 0, 0, bit(b"Lock") if caps else 0, 0, 0, 0)
        buffer = ctypes.create_string_buffer(16)
        xkb.xkb_state_key_get_utf8(state, key, buffer, 16)
        return buffer.value.decode()


# The main block of keys: a hyphen from the number pad would be one on every layout.
us = Keyboard("us")
keys = {us.shows(key, shift, False): (key, shift) for shift in (True, False) for key in range(10, 62)}
version = subprocess.run(["dpkg-query", "-W", "xkb-data"], capture_output=True, text=True).stdout.split()[1]
print(f"# From Debian's xkb-data {version} (MIT and similar licences) by keyboards.py beside this; a dash of two is a dead key.")
print("layout", "caps", *SENT, sep="\t")
for layout in LAYOUTS:
    for caps in (False, True):
        shown = [Keyboard(layout).shows(*keys[sent], caps) or "--" for sent in SENT]
        print(layout, "on" if caps else "off", *shown, sep="\t")
