"""CT numbers of what the block is made of, in HU at about 70 keV, which 120 kVp comes near.

Computed from elemental attenuation tables for the composition and density named; natural things
vary, so a reader may take them as typical and no more. A packing of solid and air mixes in
proportion to volume.
"""

AIR = -999.0
FOAM = -962.0  # polyethylene foam, 35 kg/m3
STRAP = -180.0  # woven polypropylene
COUCH_SKIN = -150.0  # carbon fibre in resin, thinner than a voxel
COUCH_CORE = -935.0
PLY = -345.0  # dry wood, 0.70 g/cm3
PLY_GLUE = -60.0
PLASTER = 560.0  # gypsum set to 1.1 g/cm3; the solid has 2298
SOIL = 700.0  # quartz packed to a little under 60 %, which has 776
SUBSOIL = 790.0  # clean quartz sand
SAND = 830.0  # quartz, a little over 60 % packing, which has 776
SILT = 640.0
ASH_SILT = 520.0
CHARCOAL_SILT = 330.0
ROOT = 40.0
ROOT_CHANNEL = -640.0
WALL = 1180.0  # fired clay (as kaolinite), 2.0 g/cm3
TEMPER = 1930.0  # crushed quartz and granite in the clay
PLUG = 985.0  # fine clay (as kaolinite), 1.85 g/cm3, without temper
CRACK = -420.0  # air with some silt
BONE = 1560.0  # calcined compact bone
BONE_STRUT = 1250.0
BONE_PORE = 260.0  # silt that half fills the marrow spaces
TAR = 17.0  # birch tar, as pine resin and bitumen
WAX = -63.0  # beeswax, 0.96 g/cm3
THREAD = 980.0  # plant fibre full of copper salts
CLOTH_GAP = -260.0
COIL_INSIDE = 60.0  # loose dust and air
CORROSION = 2500.0
BRONZE = 9000.0  # 62342 as a solid: beyond every usual scale
