"""How one price comes about, figure by figure, so that a class can follow it from the sheet up.

    route.py: from the copies wanted to the sheets run and the hours
    lines.py: each cost line from what it counts
    price.py: from the cost lines to the price
    offer.py: all of it for one offer; start there
"""
