"""A large invented book, for measuring and for trying things out: years of work by many hands.

    size        how large, and from which seed
    frame       the rows that stand from the first day: people, places, crops, permits
    act         what happens: an act of somebody, or a row typed at the office
    life        one life: plants that came or were begun together, and how they are looked after
    goods       goods under a permit: the quarantine room, holds, inspections, the release
    begun       seed and cuttings
    grown       the shade house, toughening, and plants that are sent
    planted     planting by the hole, and who is alive a year later
    telling     all lives of a nursery in the order of time, on the phones of its people
    make        all nurseries of a book, written
    command     the words of `nursery demo --large`

But for `make` nothing here writes: `telling.told` yields what `services.in_bulk` takes in. The same
size and seed give the same book, byte for byte. All of it is invented.
"""
