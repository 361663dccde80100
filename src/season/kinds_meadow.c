/* Fungi of grass, hedge banks and gardens. */
#include "season/kinds_internal.h"

static const pn_kind kinds[] = {
    {.id = "meadow_parasol",
     .english = "Meadow parasol",
     .scientific = "Macrolepiota procera",
     .group = "meadow fungus",
     .where = "rough grass, wood edges, rides and dunes",
     .model = PN_SEASON_FUNGUS,
     ITEM("cap", "caps", 60.0, 0.5, 3),
     STANDING(0.8, 7.0, 0.8, 0.9),
     .prior = {GATE(213.0, 266.0, 6.0), WATER(0.4, 0.1), SOIL(6.0, 16.0, 25.0),
               NO_TRIGGER, RIPENING(3.0, 110.0), WEAR(7.0, 1.7, 0.8),
               FROST(-1.5, 0.8, 0.8), FUNGUS_ONLY},
     .caution = "Rule out first: small dapperlings (deadly; take none under "
                "12 cm), panther cap and other amanitas (bag or rings at the "
                "base): loose ring, snakeskin stem."},
    {.id = "field_mushroom",
     .english = "Field mushroom",
     .scientific = "Agaricus campestris",
     .group = "meadow fungus",
     .where = "old grazed pasture",
     .model = PN_SEASON_FUNGUS,
     ITEM("cap", "caps", 25.0, 0.5, 10),
     STANDING(0.6, 25.0, 1.0, 0.9),
     .prior = {GATE(200.0, 276.0, 6.0), WATER(0.4, 0.1), SOIL(7.0, 16.5, 26.0),
               NO_TRIGGER, RIPENING(5.0, 70.0), WEAR(4.0, 1.7, 0.8),
               FROST(-1.0, 0.8, 0.8), FUNGUS_ONLY},
     .caution = "Rule out first: yellow stainer (stem base turns chrome "
                "yellow when cut, smells of ink), destroying angel and death "
                "cap (white gills, bag at the base: dig it up)."},
    {.id = "horse_mushroom",
     .english = "Horse mushroom",
     .scientific = "Agaricus arvensis",
     .group = "meadow fungus",
     .where = "pasture, often in rings; parkland",
     .model = PN_SEASON_FUNGUS,
     ITEM("cap", "caps", 90.0, 0.5, 3),
     STANDING(0.6, 8.0, 1.0, 0.9),
     .prior = {GATE(192.0, 276.0, 6.0), WATER(0.4, 0.1), SOIL(7.0, 16.5, 26.0),
               NO_TRIGGER, RIPENING(5.0, 80.0), WEAR(5.0, 1.7, 0.8),
               FROST(-1.0, 0.8, 0.8), FUNGUS_ONLY},
     .caution = "Rule out first: yellow stainer (chrome yellow inside the "
                "stem base, smells of ink, not aniseed), destroying angel and "
                "death cap (white gills, bag at the base)."},
    {.id = "fairy_ring_champignon",
     .english = "Fairy ring champignon",
     .scientific = "Marasmius oreades",
     .group = "meadow fungus",
     .where = "short old turf, in rings",
     .model = PN_SEASON_FUNGUS,
     ITEM("cap", "caps", 2.0, 0.4, 60),
     STANDING(0.8, 150.0, 0.9, 0.9),
     .prior = {GATE(140.0, 290.0, 7.0), WATER(0.4, 0.1), SOIL(6.0, 15.0, 25.0),
               NO_TRIGGER, RIPENING(2.0, 95.0), WEAR(10.0, 1.6, 0.4),
               FROST(-2.0, 0.8, 0.5), FUNGUS_ONLY},
     .caution = "Rule out first: fool's funnel (whitish, crowded gills that "
                "run down the stem, in the same rings; can kill) and small "
                "fibrecaps: look at every cap."},
    {.id = "giant_puffball",
     .english = "Giant puffball",
     .scientific = "Calvatia gigantea",
     .group = "meadow fungus",
     .where = "rich pasture, nettle beds, hedge banks",
     .model = PN_SEASON_FUNGUS,
     ITEM("ball", "balls", 1500.0, 0.8, 1),
     STANDING(0.5, 1.2, 0.8, 0.9),
     .prior = {GATE(204.0, 268.0, 6.0), WATER(0.38, 0.1), SOIL(7.0, 16.0, 25.0),
               NO_TRIGGER, RIPENING(4.0, 120.0), WEAR(7.0, 1.7, 0.4),
               FROST(-1.0, 0.8, 0.8), FUNGUS_ONLY},
     .caution = "Rule out first: earthballs (thick skin, dark inside) and the "
                "closed eggs of death cap and destroying angel: cut it from "
                "top to bottom."},
    {.id = "shaggy_inkcap",
     .english = "Shaggy inkcap",
     .scientific = "Coprinus comatus",
     .group = "meadow fungus",
     .where = "verges, lawns, disturbed and made ground",
     .model = PN_SEASON_FUNGUS,
     ITEM("cap", "caps", 35.0, 0.5, 6),
     STANDING(0.7, 15.0, 0.9, 0.9),
     .prior = {GATE(222.0, 304.0, 6.0), WATER(0.4, 0.1), SOIL(3.0, 12.5, 22.0),
               NO_TRIGGER, RIPENING(0.0, 85.0), WEAR(3.0, 1.7, 0.8),
               FROST(-2.0, 0.8, 0.8), FUNGUS_ONLY},
     .caution = "Rule out first: common inkcap (smooth, grey; ill for days "
                "with any alcohol) and magpie inkcap (dark with white "
                "patches)."},
    {.id = "wood_blewit",
     .english = "Wood blewit",
     .scientific = "Lepista nuda",
     .group = "meadow fungus",
     .where = "deep leaf litter, hedge bottoms, compost",
     .model = PN_SEASON_FUNGUS,
     ITEM("cap", "caps", 35.0, 0.5, 6),
     STANDING(0.8, 14.0, 0.8, 0.8),
     .prior = {GATE(266.0, 328.0, 6.0), WATER(0.45, 0.1), SOIL(-1.0, 8.0, 16.0),
               COOLING(13.0, 1.0, 2.0, 0.6), RIPENING(-2.0, 125.0),
               WEAR(13.0, 1.5, 0.6), FROST(-5.0, 1.0, 0.5), FUNGUS_ONLY},
     .caution = "Rule out first: violet webcaps (cobweb between cap and stem, "
                "rusty spores; this one's print is pale pink). Raw it "
                "poisons."},
    {.id = "field_blewit",
     .english = "Field blewit",
     .scientific = "Lepista personata",
     .group = "meadow fungus",
     .where = "old pasture on lime, often in rings",
     .model = PN_SEASON_FUNGUS,
     ITEM("cap", "caps", 45.0, 0.5, 5),
     STANDING(0.6, 12.0, 0.9, 0.9),
     .prior = {GATE(274.0, 326.0, 6.0), WATER(0.45, 0.1), SOIL(-1.0, 7.5, 15.0),
               COOLING(12.5, 1.0, 2.0, 0.6), RIPENING(-2.0, 120.0),
               WEAR(12.0, 1.5, 0.6), FROST(-5.0, 1.0, 0.5), FUNGUS_ONLY},
     .caution = "Rule out first: webcaps with lilac stems (rusty spores) and "
                "livid pinkgill (gills and print salmon pink; poisonous). Raw "
                "it poisons."},
    {.id = "st_georges_mushroom",
     .english = "St George's mushroom",
     .scientific = "Calocybe gambosa",
     .group = "meadow fungus",
     .where = "old grass on lime, wood edges, in rings",
     .model = PN_SEASON_FUNGUS,
     ITEM("cap", "caps", 30.0, 0.5, 6),
     STANDING(0.8, 14.0, 0.8, 0.8),
     .prior = {GATE(98.0, 146.0, 5.0), WATER(0.4, 0.1), SOIL(4.0, 11.5, 20.0),
               WARMING(8.0, 0.8, 1.2, 0.6), RIPENING(2.0, 90.0),
               WEAR(9.0, 1.9, 0.8), FROST(-3.0, 1.0, 0.5), FUNGUS_ONLY},
     .caution = "Rule out first: deadly fibrecap (reddens, brown spores, the "
                "same weeks) and livid pinkgill (pink spores): smell of meal "
                "proves nothing."},
};

kind_table season_meadow_fungi(void) {
    return (kind_table){kinds, sizeof kinds / sizeof kinds[0]};
}
