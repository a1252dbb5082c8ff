"""Counting by weight: what a scale can and can't resolve, with stated risks.

The room is pure: numbers in, numbers out, arrays where a whole catalogue is asked about. It knows no shop records.

======================  ==========================================================================================
module                  answers
======================  ==========================================================================================
``scale``               how sure is one indication?
``scale_check``         may this scale be used today?
``unit_weight``         what does one piece weigh, how sure is that, where does it come from?
``error_model``         how far does a counted bag stray from its target?
``window``              between which weights does a bag pass, and how many pieces can be counted at all?
``limits``              which limits can the display show, and what are the risks of exactly those?
``sampling``            how large a sample would resolve the wanted count; pouring on top of the sample
``count_up``            how many pieces is each pour on a tared scale, and what does it teach for the next?
``pours``               can a bag be counted on the tared scale, at once or in equal pours?
``count_times``         how long does a count take, which way is quickest?
``split``               weigh, split into bags, or count by hand: which, and why?
``bulk``                how many pieces are in the tubs, give or take? (``cycle_count``: in the bin?)
``learning/``           what do the shop's own weighings say about a unit weight; has a part or a scale changed?
``causes/``             why does this bag or package weigh what it weighs?
``lookalike``           which other parts would pass this window?
======================  ==========================================================================================

Words: *unit weight* is the mean mass of one piece, always with its standard uncertainty, piece-to-piece s.d. and
source; a *window* is the pair of limits; a *risk* is a probability that was chosen, a *p* one that was computed.
"""
