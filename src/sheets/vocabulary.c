#include "sheets/sheets_internal.h"

/* The words that docs/guide-format.md lists. */

static const char *const groups[] = {
    "gilled fungus", "bolete",   "bracket", "veined fungus", "toothed fungus",
    "club or coral", "puffball", "cup",     "morel",         "jelly fungus",
    "stinkhorn",     "leaf",     "flower",  "root",          "berry",
    "nut",           "cone",     "sap",     "seaweed",       "tree",
    "shrub",         "climber",  "herb"};
static const char *const statuses[PN_GUIDE_STATUS_COUNT] = {
    "gathered", "caution", "harmful", "deadly", "protected"};
static const char *const habitats[] = {
    "broadleaf", "conifer",    "mixed",    "edge",    "hedge",      "park",
    "garden",    "lawn",       "pasture",  "meadow",  "chalk",      "heath",
    "moor",      "dune",       "bog",      "marsh",   "ditch",      "riverbank",
    "roadside",  "waste",      "arable",   "orchard", "churchyard", "burnt",
    "cliff",     "shore_rock", "shore_mud"};
static const char *const hosts[] = {
    "oak",      "beech", "birch",  "hazel",  "hornbeam", "sweet_chestnut",
    "lime",     "ash",   "elm",    "alder",  "willow",   "poplar",
    "sycamore", "elder", "apple",  "cherry", "rowan",    "hawthorn",
    "holly",    "pine",  "spruce", "larch",  "fir",      "yew",
    "gorse",    "grass"};
static const char *const parts[] = {
    "cap", "stem", "whole", "edge", "leaf", "shoot", "flower", "fruit",
    "nut", "seed", "root",  "sap",  "cone", "frond", "bark"};
static const char *const uses[] = {"cook",   "dry",     "raw",
                                   "infuse", "toast",   "preserve",
                                   "stock",  "ferment", "leave"};
static const char *const stages[PN_GUIDE_STAGE_COUNT] = {"young", "mature",
                                                         "old"};
static const char *const takes[] = {"take", "leave", "later"};
static const char *const abouts[] = {
    "raw",      "alcohol",   "dose",    "first_taste",   "pregnancy",
    "children", "medicines", "allergy", "contamination", "spoilage",
    "handling", "lookalike", "water"};
static const char *const laws[] = {
    "owner_leave", "no_sale", "uproot_consent", "schedule_8",
    "site_rules",  "scarce",  "foreshore"};
static const char *const efforts[PN_EFFORT_COUNT] = {"look", "smell", "touch",
                                                     "cut",  "print", "bench"};

#define WORDS(what, table)                                                     \
    { what, table, sizeof(table) / sizeof *(table) }

static const sheets_words vocabularies[SHEETS_VOCABULARY_COUNT] = {
    [SHEETS_GROUPS] = WORDS("a group", groups),
    [SHEETS_STATUSES] = WORDS("a status", statuses),
    [SHEETS_HABITATS] = WORDS("a habitat", habitats),
    [SHEETS_HOSTS] = WORDS("a host", hosts),
    [SHEETS_PARTS] = WORDS("a part", parts),
    [SHEETS_USES] = WORDS("a use", uses),
    [SHEETS_STAGES] = WORDS("a stage", stages),
    [SHEETS_TAKES] = WORDS("what to do at a stage", takes),
    [SHEETS_ABOUTS] = WORDS("what a caution is about", abouts),
    [SHEETS_LAWS] = WORDS("a law flag", laws),
    [SHEETS_EFFORTS] = WORDS("an effort", efforts),
};

const sheets_words *sheets_vocabulary_of(sheets_vocabulary which) {
    return &vocabularies[which];
}
