"""The season book in a browser on this machine: screens, forms, and who may see them.

It shows what `today.Today` says and takes what people log; the command that opened the book hands
it in (`season_book.SeasonBook`). Nothing is fetched from anywhere, and nothing leaves the machine.
"""
