"""The pages of the documentation: what builds them, and what keeps them true.

``python -m tests.pages`` builds all pages into ``build/pages``; a warning is an error. Their sources are Markdown in
the folders ``pages`` of the rooms that they describe. A page may hold blocks that are *done* while it is built
(:mod:`tests.pages.directives`): commands that are typed in a shop, papers and plots that are drawn, tables that are
made from the code. A command that fails, or doesn't say what the page says it says, stops the build.

**Where to start.** :mod:`tests.pages.stage`, the shop in which commands are typed.
"""
