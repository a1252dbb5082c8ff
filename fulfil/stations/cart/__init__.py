"""The cart's page: a walk on a phone or a small tablet, which goes on where no signal reaches.

:mod:`fulfil.stations.cart.cart_page` takes what the picker marks, :mod:`fulfil.stations.cart.cart_view` says what the
page shows, :mod:`fulfil.stations.cart.floor_map` draws the room. The walk is kept by the tablet (a service worker), and
so is every mark until the shop has answered it; both are in ``static/cart.js`` and ``static/cart-worker.js``.
"""
