"""What a shop of any age costs: shops grown old by copying their days, and a table of every verb in them."""
