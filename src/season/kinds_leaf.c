/* Leaves, shoots and flowers, from the first green of the year. Thermal time
 * counts from 1 January. */
#include "season/kinds_internal.h"

static const pn_kind kinds[] = {
    {.id = "wild_garlic_leaves",
     .english = "Wild garlic leaves",
     .scientific = "Allium ursinum",
     .group = "leaf",
     .where = "damp broadleaved woods and shaded banks",
     .model = PN_SEASON_PLANT,
     ITEM("handful of leaves", "handfuls of leaves", 40.0, 0.3, 2),
     STANDING(1.5, 40.0, 0.4, 0.4),
     .prior = {COUNTS_FROM(1.0), STAGE(290.0, 35.0, 1150.0, 60.0),
               ANY_DAY_LENGTH, KEEPS(300.0), FROST(-12.0, 1.5, 0.05),
               PLANT_ONLY},
     .caution = "Rule out leaf by leaf: lords-and-ladies, lily of the valley "
                "and dog's mercury grow through it; the smell stays on the "
                "hand and proves nothing after the first leaf."},
    {.id = "nettle_tops",
     .english = "Nettle tops",
     .scientific = "Urtica dioica",
     .group = "leaf",
     .where = "rich ground, hedge bottoms, farm edges",
     .model = PN_SEASON_PLANT,
     ITEM("handful of tops", "handfuls of tops", 30.0, 0.3, 4),
     STANDING(2.0, 60.0, 0.4, 0.4),
     .prior = {COUNTS_FROM(1.0), STAGE(390.0, 40.0, 1050.0, 60.0),
               ANY_DAY_LENGTH, KEEPS(300.0), FROST(-8.0, 1.5, 0.1), PLANT_ONLY},
     .caution = "Rule out first: dog's mercury and foxglove leaves picked "
                "along with them; plants in flower irritate the kidneys, and "
                "nettle banks are often sprayed."},
    {.id = "sorrel_leaves",
     .english = "Sorrel leaves",
     .scientific = "Rumex acetosa",
     .group = "leaf",
     .where = "old meadows and verges",
     .model = PN_SEASON_PLANT,
     ITEM("handful of leaves", "handfuls of leaves", 15.0, 0.3, 3),
     STANDING(1.2, 15.0, 0.5, 0.4),
     .prior = {COUNTS_FROM(1.0), STAGE(440.0, 45.0, 1250.0, 70.0),
               ANY_DAY_LENGTH, KEEPS(300.0), FROST(-10.0, 1.5, 0.05),
               PLANT_ONLY},
     .caution = "Rule out first: lords-and-ladies (lobes point outwards, net "
                "of veins, glossy; burns mouth and throat); its own oxalic "
                "acid is hard on kidneys."},
    {.id = "hop_shoots",
     .english = "Hop shoots",
     .scientific = "Humulus lupulus",
     .group = "leaf",
     .where = "hedges, damp wood edges, old hop country",
     .model = PN_SEASON_PLANT,
     ITEM("bundle of shoots", "bundles of shoots", 40.0, 0.3, 2),
     STANDING(0.8, 6.0, 0.7, 0.5),
     .prior = {COUNTS_FROM(1.0), STAGE(640.0, 40.0, 960.0, 45.0),
               ANY_DAY_LENGTH, KEEPS(200.0), FROST(-3.0, 1.0, 0.3), PLANT_ONLY},
     .caution = "Rule out first: white bryony (curled tendrils) and black "
                "bryony (smooth heart leaves, one at a node), both poisonous "
                "climbers of the same hedges."},
    {.id = "lime_leaves",
     .english = "Lime leaves",
     .scientific = "Tilia cordata, T. x europaea",
     .group = "leaf",
     .where = "parks, avenues, old woods",
     .model = PN_SEASON_PLANT,
     ITEM("handful of leaves", "handfuls of leaves", 15.0, 0.3, 3),
     STANDING(1.5, 25.0, 0.5, 0.4),
     .prior = {COUNTS_FROM(1.0), STAGE(830.0, 40.0, 1250.0, 60.0),
               ANY_DAY_LENGTH, KEEPS(300.0), FROST(-2.0, 1.0, 0.2), PLANT_ONLY},
     .caution = "Rule out first: leaves of other shrubs and of ivy mixed into "
                "the low shoots; roadside dust and sprayed trees."},
    {.id = "elderflower",
     .english = "Elderflower",
     .scientific = "Sambucus nigra",
     .group = "flower",
     .where = "hedges, wood edges, waste ground",
     .model = PN_SEASON_PLANT,
     ITEM("head of flowers", "heads of flowers", 18.0, 0.4, 15),
     STANDING(1.5, 60.0, 0.5, 0.4),
     .prior = {COUNTS_FROM(1.0), STAGE(1240.0, 45.0, 1560.0, 50.0),
               ANY_DAY_LENGTH, KEEPS(60.0), FROST(-1.0, 0.8, 0.5), PLANT_ONLY},
     .caution = "Rule out first: hemlock, hemlock water-dropwort and other "
                "white umbels (soft herbs, not a shrub) and dwarf elder; "
                "leaves, bark and green stalks poison."},
};

kind_table season_leaves_and_flowers(void) {
    return (kind_table){kinds, sizeof kinds / sizeof kinds[0]};
}
