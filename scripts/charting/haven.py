"""The shape of Ebbering Haven, an invented tidal haven in an empty part of the ocean, for scripts/make-testdata, which
models its seabed, and scripts/make-cells, which charts it.

x runs east and y north from the raster's lower left corner, both in metres. Chart depths are positive down."""

COLS, ROWS, CELL_M = 700, 600, 2.0
WIDTH_M, HEIGHT_M = COLS * CELL_M, ROWS * CELL_M
WEST, SOUTH = 347000.0, 5316000.0  # UTM 26 north: about 48 N 29 W, far from any coast
EPSG, UTM_ZONE = 32626, 26
NODATA = -9999.0
SURVEYED_UP_TO_M = 2.5  # height above chart datum; land above it was not surveyed

# The coast, anticlockwise: the open sea to the south, a neck, and the inner haven behind it.
SHORE = [(-400, -400), (1800, -400), (1800, 505), (1450, 505), (1290, 520), (1130, 500), (985, 520), (880, 560), (835, 630),
         (850, 690), (960, 705), (1110, 745), (1200, 840), (1205, 960), (1130, 1060), (985, 1115), (800, 1130),
         (600, 1118), (390, 1080), (225, 1010), (175, 900), (215, 800), (330, 735), (480, 712), (570, 680),
         (590, 620), (545, 560), (440, 525), (290, 500), (130, 515), (-50, 495), (-400, 495)]

# Chart depth of the open sea by northing: a deep, a slope, and the roads off the coast.
SEA_PROFILE = [(0, 26), (150, 25), (215, 20), (255, 14), (300, 7.6), (340, 6.0), (420, 5.6), (520, 5.2), (1200, 5.0)]

POOL_LINE = [((345, 900), 59.0), ((505, 880), 66.0)]  # centre line and half-width at the upper edge of its sides
POOL_DEPTH_M = 5.3
CHANNEL_LINE = [(712, 520), (708, 640), (690, 760), (700, 900), (760, 1040)]
CHANNEL_HALF_WIDTH_M, CHANNEL_DEPTH_M = 45.0, 4.8
GUT_LINE = [(505, 880), (600, 850), (695, 820)]  # the way from the channel into the pool
MOORINGS_CENTRE, MOORINGS_RADIUS_M, MOORINGS_DEPTH_M = (935, 870), 135.0, 4.6
BANK_CENTRE, BANK_HALF_AXES_M, BANK_HEIGHT_M = (985, 1050), (150.0, 70.0), 1.4
FLAT_DEPTH_M = 1.1  # of the inner haven between its pools

# A bar of sand across the mouth, from head to head: the sill of every way in. Its least depth on the line of the channel,
# how much it rises to each side of there, a metre in so many, and how its back falls on both sides.
BAR_LINE = [(572, 612), (640, 592), (712, 586), (785, 592), (852, 612)]
BAR_DEPTH_M, BAR_MIDDLE_X, BAR_RISES_ONE_IN, BAR_HALF_CREST_M, BAR_SLOPE = 2.0, 711, 200.0, 6.0, 0.12
# The Kettle, a pool behind a ring that dries: no way leads in.
KETTLE_CENTRE, KETTLE_RADIUS_M, KETTLE_DEPTH_M = (598, 1012), 65.0, 4.2
KETTLE_RING_M, KETTLE_RING_HEIGHT_M = 9.0, 0.3  # half the width of its crest, and how high it dries

CABLE = [(1010, 560), (880, 548), (720, 545), (585, 505), (530, 400), (505, 200), (500, -60)]
ROCK, ROCK_DEPTH_M = (330, 395), -0.2
WRECK = [(1065, 392), (1072, 396), (1084, 386), (1077, 381), (1065, 392)]
MOORING_BLOCKS = [(870, 905), (905, 845), (930, 925), (955, 880), (985, 820), (1000, 910), (905, 790), (880, 850)]
FAIRWAY = [(662, 470), (762, 470), (756, 640), (735, 760), (742, 890), (798, 1020), (722, 1060), (657, 910),
           (645, 760), (660, 640), (662, 470)]
# What a boat with a sounder could not reach: a patch of the eastern flats behind the moorings.
HOLE_CENTRE, HOLE_RADIUS_M = (1120.0, 900.0), 32.0

SOFT = [(180, 720), (620, 720), (620, 1100), (180, 1100), (180, 720)]
SAND = [(-20, 130), (1420, 130), (1420, 520), (900, 560), (860, 700), (1220, 760), (1220, 1130), (640, 1130),
        (640, 700), (560, 560), (-20, 520), (-20, 130)]
LEDGE = [(1180, 400), (1420, 380), (1420, 530), (1180, 530), (1180, 400)]
