"""Scripts other than Latin, Greek and Cyrillic: in which order and form their letters are printed, and with which font.

``script_order`` turns what is written from right to left into what is seen; ``shaping`` chooses and places the glyphs
of Thai, Devanagari, Chinese, Japanese and Korean; ``glyph_fonts`` puts just those glyphs into a PDF. **Where to
start.** ``shaping.runs``. Nothing here knows a paper.
"""
