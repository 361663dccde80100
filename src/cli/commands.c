/* The one table of commands: dispatch, help, completion and the man page all
 * read it. */
#include "cli.h"

const cli_option cli_globals[] = {
    {"notebook", "FILE", "the notebook to work in"},
    {"json", NULL, "print JSON for a machine"},
    {"quiet", NULL, "no talk on standard error, only complaints"},
    {"colour", "WHEN", "never, auto (on a terminal) or always"},
    {"width", "COLUMNS", "lay text out for so many columns, 40 to 200"},
    {"ascii", NULL, "plain 7-bit marks in charts and tables"},
    {"help", NULL, "show this help"},
    {NULL, NULL, NULL}};

static const cli_option no_options[] = {{NULL, NULL, NULL}};

static const cli_option outlook_options[] = {
    {"date", "DATE",
     "first day of the outlook: 2026-09-14, today (usual), "
     "tomorrow"},
    {"days", "N", "how many days, 1 to 28; 14 unless given"},
    {"patch", "NAME", "only this patch; may be given again"},
    {"kind", "KIND", "only this kind; may be given again"},
    {"forecast", "FILE",
     "weather forecast as plain CSV, from the first day on; "
     "it is used and not stored"},
    {"source", "NAME", "the weather source, when the notebook has several"},
    {"from", "DATE", "use the record from this day on, to leave a gap behind"},
    {"top", "N", "show so many rows at most; 12 unless given"},
    {"all", NULL, "show every row, also what is not up"},
    {"explain", NULL, "show every factor and parameter behind each row"},
    {NULL, NULL, NULL}};

static const cli_option season_options[] = {
    {"patch", "NAME", "the patch"},
    {"kind", "KIND", "the kind"},
    {"date", "DATE", "the day the outlook begins; today unless given"},
    {"since", "DATE", "first day of the chart; 240 days before unless given"},
    {"svg", "FILE", "write the chart to a file as SVG"},
    {"forecast", "FILE", "weather forecast as plain CSV"},
    {"source", "NAME", "the weather source, when the notebook has several"},
    {"from", "DATE", "use the record from this day on"},
    {NULL, NULL, NULL}};

static const cli_option place_options[] = {
    {"name", "NAME", "what you call it"},
    {"at", "WHERE", "grid reference (SU 852 664) or \"latitude, longitude\""},
    {"elevation", "M", "metres above the sea"},
    {"note", "TEXT", "anything else"},
    {NULL, NULL, NULL}};

static const cli_option patch_options[] = {
    {"name", "NAME", "what you call it"},
    {"at", "WHERE", "grid reference (SU 852 664) or \"latitude, longitude\""},
    {"elevation", "M",
     "metres above the sea; the weather station's if not "
     "given"},
    {"texture", "SOIL",
     "sand, loamy_sand, sandy_loam, loam (usual), silt_loam, "
     "clay_loam, clay, peat, chalk"},
    {"cover", "COVER", "open (usual), broadleaf, conifer or edge"},
    {"hosts", "TREES", "host trees"},
    {"area", "M2", "square metres searched"},
    {"access", "TEXT", "whose ground it is, and which permission you have"},
    {"kinds", "LIST", "what you look for there: penny_bun,beech_nuts"},
    {"place", "NAME", "the place it belongs to; made if it is new"},
    {"note", "TEXT", "anything else"},
    {NULL, NULL, NULL}};

static const cli_option patch_correct_options[] = {
    {"name", "NAME", "a new name"},
    {"at", "WHERE", "grid reference (SU 852 664) or \"latitude, longitude\""},
    {"elevation", "M", "metres above the sea"},
    {"texture", "SOIL", "the right soil, as in 'patch add'"},
    {"cover", "COVER", "open, broadleaf, conifer or edge"},
    {"hosts", "TREES", "host trees"},
    {"area", "M2", "square metres searched"},
    {"access", "TEXT", "whose ground it is, and which permission you have"},
    {"kinds", "LIST",
     "look for these too from now on; visits written down before do not count "
     "as having looked for them"},
    {"without", "LIST", "no longer look for these"},
    {"note", "TEXT", "a new note"},
    {NULL, NULL, NULL}};

static const cli_option dry_run_option[] = {
    {"dry-run", NULL, "read and check everything, write nothing"},
    {NULL, NULL, NULL}};

static const cli_option visit_options[] = {
    {"patch", "NAME", "where you were"},
    {"date", "DATE", "when; today unless given"},
    {"minutes", "N", "how long you searched"},
    {"find", "KIND:...",
     "a find, as penny_bun:4:620g:young: kind, then count, "
     "weight and stage as far as known; count 0 says it "
     "was looked for and not there; may be given again"},
    {"only", NULL,
     "you looked only for the finds named; without this, the "
     "patch's other kinds count as looked for and not found"},
    {"observer", "NAME", "who looked"},
    {"note", "TEXT", "anything else"},
    {NULL, NULL, NULL}};

static const cli_option visit_list_options[] = {
    {"patch", "NAME", "only this patch"},
    {"kind", "KIND", "only visits that found or missed this kind"},
    {"since", "DATE", "from this day"},
    {"until", "DATE", "to this day"},
    {NULL, NULL, NULL}};

static const cli_option visit_correct_options[] = {
    {"date", "DATE", "the right day"},
    {"patch", "NAME", "the right patch"},
    {"minutes", "N", "how long it really was"},
    {"note", "TEXT", "a new note"},
    {NULL, NULL, NULL}};

static const cli_option find_correct_options[] = {
    {"kind", "KIND",
     "what it really was: a kind that is forecast, any of the guide, or "
     "unknown"},
    {"count", "N", "how many there really were"},
    {"grams", "G", "what they really weighed, fresh"},
    {"stage", "TEXT", "their real stage"},
    {NULL, NULL, NULL}};

static const cli_option weather_options[] = {
    {"source", "NAME",
     "what to call the station; its own name if the files "
     "have one"},
    {"latitude", "DEG", "where it stands, when the files do not say"},
    {"longitude", "DEG", "east positive"},
    {"elevation", "M", "metres above the sea"},
    {"wind-height", "M", "height of the wind sensor, 10 unless given"},
    {"licence", "TEXT", "the attribution the data ask for"},
    {"forecast", NULL,
     "these days are a forecast: kept apart from what was "
     "measured"},
    {"dry-run", NULL, "read and check everything, write nothing"},
    {NULL, NULL, NULL}};

static const cli_option generate_options[] = {
    {"first", "DATE", "first day; a year ago unless given"},
    {"last", "DATE", "last day; yesterday unless given"},
    {"seed", "N", "the same seed and first day give the same weather"},
    {"latitude", "DEG", "for the day length; 52 unless given"},
    {"elevation", "M", "metres above the sea; 50 unless given"},
    {NULL, NULL, NULL}};

static const cli_option sun_options[] = {
    {"at", "WHERE", "grid reference or \"latitude, longitude\""},
    {"patch", "NAME", "a patch of the notebook instead"},
    {"date", "DATE", "today unless given"},
    {NULL, NULL, NULL}};

static const cli_option score_options[] = {
    {"fit", "YEARS", "calibrate on these years: 2017 or 2016-2017"},
    {"judge", "YEARS", "score on these: 2018-2019"},
    {"latitude", "DEG", "of the station; 54 unless given, which is then said"},
    {"elevation", "M", "of the station; 100 unless given, which is then said"},
    {"cover", "COVER", "open (usual), broadleaf, conifer or edge"},
    {"air-only", NULL, "use temperature and rain alone, as without a station"},
    {"svg-dir", "FOLDER", "write the charts there"},
    {NULL, NULL, NULL}};

static const cli_option guide_options[] = {
    {"guide", "FOLDER",
     "read the guide from a folder instead of the shipped "
     "one"},
    {NULL, NULL, NULL}};

static const cli_option check_options[] = {
    {"observe", "FEATURE=STATE",
     "one thing you saw, as ring=none, cap_width=9 "
     "or smell=meal? (probably); may be given "
     "again"},
    {"spores", "FILE", "spore sizes, one a line, as evidence"},
    {"session", "FILE", "keep the answers in a file, and go on from it"},
    {"keep", NULL,
     "write the session into the notebook when it is over: answers, what was "
     "open, and the guide that said so"},
    {"find", "FIND", "the find it is of, by its number"},
    {"photo", "FILE",
     "a photo to keep with it: JPEG, PNG or WebP, at most 16 MiB; may be given "
     "again"},
    {"ask", NULL, "ask questions also when some answers are given"},
    {"typed", NULL,
     "answers are typed, nothing is redrawn: for a screen "
     "reader"},
    {"month", "N", "when it was found, 1 to 12; this month unless given"},
    {"habitat", "WORD",
     "where it grew, a word of the guide: broadleaf, "
     "pasture, ..."},
    {"host", "TREE", "the tree it grew with"},
    {"expert", NULL, "you know the kinds marked for experts"},
    {"guide", "FOLDER",
     "read the guide from a folder instead of the shipped "
     "one"},
    {NULL, NULL, NULL}};

static const cli_option check_kept_options[] = {
    {"find", "FIND", "only those of this find"}, {NULL, NULL, NULL}};

static const cli_option check_correct_options[] = {
    {"find", "FIND", "the find it was of"},
    {"note", "TEXT", "a new note"},
    {NULL, NULL, NULL}};

static const cli_option photo_add_options[] = {
    {"find", "FIND", "the find they show"},
    {"check", "SESSION", "the kept session they belong to"},
    {"note", "TEXT", "anything else"},
    {NULL, NULL, NULL}};

static const cli_option photo_list_options[] = {
    {"find", "FIND", "only those of this find and its sessions"},
    {"check", "SESSION", "only those of this kept session"},
    {NULL, NULL, NULL}};

static const cli_option kept_options[] = {
    {"find", "FIND", "the find it is of; may be given again"},
    {"from", "NUMBER",
     "the jar it is from, a number of 'kept list'; may be given again"},
    {"name", "NAME", "what you call it"},
    {"date", "DATE", "when; today unless given"},
    {"eaters", "NAMES", "who ate of it"},
    {"note", "TEXT", "anything else"},
    {NULL, NULL, NULL}};

static const cli_option kept_correct_options[] = {
    {"name", "NAME", "a new name"},
    {"date", "DATE", "the right day"},
    {"eaters", "NAMES", "who really ate of it"},
    {"note", "TEXT", "a new note"},
    {NULL, NULL, NULL}};

static const cli_option review_options[] = {
    {"outcome", "WORD", "still_right, thrown_away, nobody_ill, ill or other"},
    {"note", "TEXT", "anything else"},
    {NULL, NULL, NULL}};

static const cli_option help_options[] = {
    {"man", NULL, "print the whole man page"}, {NULL, NULL, NULL}};

const cli_command cli_commands[] = {
    {"outlook", "", 0, 0, "where to go in the coming days, for what, and why",
     "For every kind looked for at every patch: the best day of the next "
     "fortnight, the chance of a find worth the walk, the fresh weight "
     "a visit would meet (mean and 80 % range), "
     "and the reasons. Days that no forecast covers are played with the same "
     "weeks of the record's other years, all of them, which widens the range. "
     "Nothing after the day before the outlook is looked at, so an outlook "
     "for a day long past is what it would have been then.",
     outlook_options, cmd_outlook},
    {"season", "", 0, 0, "the season of one kind at one patch, as a chart",
     "Draws the weight a visit would have met, day by day, with its 80 "
     "% range, the visits made, and the outlook beyond today: on the terminal, "
     "or with --svg as a file with soil, rain and temperature below.",
     season_options, cmd_season},
    {"kinds", "[KIND]", 0, 1, "the kinds pannage forecasts, and how",
     "Without a name, the list. With one, what is counted, what to rule out "
     "first, and every parameter of its model with its spread and source.",
     no_options, cmd_kinds},
    {"check", "[KIND]", 0, 1,
     "what is it, and what dangerous thing could it be instead?",
     "Asks for the observation that removes most danger for its effort, and "
     "keeps the list of dangerous kinds that are not ruled out in sight. With "
     "a KIND in mind, what must be seen of it comes first. Answers may be "
     "given in any order, taken back (b), or left unsure (u). Nothing that was "
     "not seen counts for the kind. At most it says that no listed check "
     "fails; it never says safe. Exit status 1 while anything is open.",
     check_options, cmd_check},
    {"check kept", "", 0, 0, "the sessions that were kept",
     "With what was open on that day, and how many photos there are.",
     check_kept_options, cmd_check_kept},
    {"check show", "SESSION", 1, 1, "a kept session, played with today's guide",
     "Tells what changed since: dangers that are now not ruled out, and those "
     "that are. An answer that the guide no longer knows is an error, and "
     "nothing is passed over. Exit status 1 while anything is open.",
     guide_options, cmd_check_show},
    {"check correct", "SESSION", 1, 1, "say which find a session was of",
     "Nothing is overwritten: the correction is written behind what stood "
     "there. What was seen stays as it was.",
     check_correct_options, cmd_check_correct},
    {"spores", "FILE", 1, 1, "statistics of spore sizes",
     "One spore a line, in micrometres: \"8.1 x 5.2\", or the length alone. "
     "Prints extremes, 5th and 95th percentile in the usual notation, the mean "
     "and Q (length by width) with their 95 % intervals, and how many were "
     "measured. 'check --spores' takes the means as evidence.",
     no_options, cmd_spores},
    {"guide", "KIND...", 1, 1000, "the sheets of kinds",
     "What it shows, what it must not be taken for, cautions, stages, parts, "
     "law, how to take and keep it.",
     guide_options, cmd_guide},
    {"guide list", "", 0, 0, "every sheet of the guide",
     "With its status: gathered, caution, harmful, deadly or protected.",
     guide_options, cmd_guide_list},
    {"guide compare", "KIND KIND", 2, 2, "two kinds side by side",
     "What tells them apart comes first.", guide_options, cmd_guide_compare},
    {"guide features", "", 0, 0, "the features that the check asks for",
     "With their states, and the effort each takes.", guide_options,
     cmd_guide_features},
    {"guide lint", "", 0, 0, "check the sheets of a guide",
     "Tells every fault with file and line, and what to do about it. A guide "
     "with a fault is not used at all: no danger is ever dropped in silence.",
     guide_options, cmd_guide_lint},
    {"visit add", "", 0, 0, "write down a visit and what it found",
     "A visit without finds is a blank one, and tells the outlook as much as a "
     "full basket does. Kinds of the patch that are not among the finds count "
     "as looked for and not found, unless --only is given.",
     visit_options, cmd_visit_add},
    {"visit list", "", 0, 0, "the visits so far",
     "As they stand after all corrections.", visit_list_options,
     cmd_visit_list},
    {"visit import", "FILE", 1, 1, "bring in visits from a table",
     "CSV with a header: date and patch, and as far as known minutes, kind, "
     "count, fresh_g, stage, observer, note. Rows of the same day, patch and "
     "observer are one visit; an empty kind makes it a blank one. All rows "
     "come in, or none.",
     dry_run_option, cmd_visit_import},
    {"visit correct", "VISIT", 1, 1, "put a visit right",
     "Nothing is overwritten: the correction is written behind what stood "
     "there.",
     visit_correct_options, cmd_visit_correct},
    {"visit retract", "VISIT", 1, 1, "take a visit and its finds back",
     "It leaves the lists and the outlook; what was written stays in the "
     "file.",
     no_options, cmd_visit_retract},
    {"visit history", "VISIT", 1, 1, "every version of a visit and its finds",
     "With the numbers that 'find correct' asks for.", no_options,
     cmd_visit_history},
    {"find correct", "FIND", 1, 1, "put a find right",
     "Nothing is overwritten: the correction is written behind what stood "
     "there. Jars and meals of a find that becomes another kind are up for "
     "review, and named at once.",
     find_correct_options, cmd_find_correct},
    {"find retract", "FIND", 1, 1, "take a find back",
     "It leaves the lists and the outlook; what was written stays in the "
     "file.",
     no_options, cmd_find_retract},
    {"photo add", "FILE...", 1, 64, "keep photos of a find or a session",
     "JPEG, PNG or WebP, at most 16 MiB each, byte by byte as they are. All of "
     "them come in, or none.",
     photo_add_options, cmd_photo_add},
    {"photo list", "", 0, 0, "the photos in the notebook",
     "With the finds and sessions they belong to.", photo_list_options,
     cmd_photo_list},
    {"photo save", "PHOTO FILE", 2, 2, "write a photo to a file",
     "As the camera wrote it: the place where it was taken may be inside. A "
     "file that is already there is left alone.",
     no_options, cmd_photo_save},
    {"jar add", "", 0, 0, "write down what was put by of a find",
     "Dried, pickled or frozen: whatever is kept. If the find is put right "
     "later, the jar comes up for review. Of several finds it becomes several "
     "numbers, each of which is looked at by itself.",
     kept_options, cmd_jar_add},
    {"meal add", "", 0, 0, "write down a meal of a find or from a jar",
     "If the find is put right later, the meal comes up for review, also "
     "through the jar.",
     kept_options, cmd_meal_add},
    {"kept list", "", 0, 0, "jars and meals, and what is in doubt",
     "With the finds they came from.", check_kept_options, cmd_kept_list},
    {"kept correct", "NUMBER", 1, 1, "put a jar or a meal right",
     "Nothing is overwritten. A correction settles no doubt: only 'review "
     "close' does.",
     kept_correct_options, cmd_kept_correct},
    {"review", "", 0, 0, "jars and meals that a correction put in doubt",
     "A find became another kind or was taken back after they were written "
     "down: each is listed until it has been looked at. Exit status 1 while "
     "anything is listed.",
     no_options, cmd_review},
    {"review close", "NUMBER", 1, 1, "say what came of a jar or meal in doubt",
     "'still_right' only where the find is of no dangerous kind. If the find "
     "is put right once more, it comes up again.",
     review_options, cmd_review_close},
    {"patch add", "", 0, 0, "add a patch and what you look for there",
     "Grid references are turned to latitude and longitude with the "
     "7-parameter transformation, good to about 3.5 m.",
     patch_options, cmd_patch_add},
    {"patch correct", "PATCH", 1, 1,
     "put a patch right, or look for more there",
     "By name or number. Nothing is overwritten: the correction is written "
     "behind what stood there.",
     patch_correct_options, cmd_patch_correct},
    {"patch retract", "PATCH", 1, 1, "take a patch and its visits back",
     "It leaves the lists and the outlook; what was written stays in the "
     "file.",
     no_options, cmd_patch_retract},
    {"patch list", "", 0, 0, "the patches and what is looked for there",
     "With National Grid references.", no_options, cmd_patch_list},
    {"patch import", "FILE", 1, 1, "bring in patches from a table",
     "CSV with a header: name, and grid_ref or lat_deg and lon_deg; as far as "
     "known place, elevation_m, area_m2, texture, cover, hosts, access, kinds "
     "(between semicolons), note. All rows come in, or none.",
     dry_run_option, cmd_patch_import},
    {"place add", "", 0, 0, "add a place that patches belong to",
     "A wood, a common, a lane. 'patch add' makes one by itself when its "
     "--place is new.",
     place_options, cmd_place_add},
    {"place list", "", 0, 0, "the places", "With National Grid references.",
     no_options, cmd_place_list},
    {"weather import", "FILE...", 1, 64, "bring in a weather record",
     "Plain CSV whose header names variable and unit (date, tmin (degC), tmax "
     "(degC), rain (mm), ...); the national archive's open daily files in "
     "BADC-CSV form (temperature, rain, wind and radiation files of a station "
     "together); GHCN-Daily, .dly or by station. The format is found from the "
     "content. All of it comes in, or none; days already there are only "
     "added to.",
     weather_options, cmd_weather_import},
    {"weather list", "", 0, 0, "the weather in the notebook",
     "Sources, the days they cover, and the attribution they ask for.",
     no_options, cmd_weather_list},
    {"weather generate", "NORMALS", 1, 1,
     "invent daily weather from monthly normals",
     "For demonstrations and tests, never for a real outlook: wet and dry days "
     "from a Markov chain, gamma amounts, autocorrelated temperatures. "
     "NORMALS is CSV with month, tmax_degc, tmin_degc, rain_mm and, if known, "
     "sun_h. The record is printed as CSV for 'weather import'.",
     generate_options, cmd_weather_generate},
    {"sun", "", 0, 0, "rise, set and twilight at a place",
     "In the machine's own time zone; a level horizon is assumed, and a wood "
     "is darker.",
     sun_options, cmd_sun},
    {"score soil", "FILE", 1, 1,
     "how good the soil model is at a monitored station",
     "Reads a daily station table with soil probes, calibrates the model on "
     "one run of years, judges it on another, and prints both beside simple "
     "baselines computed in the same run.",
     score_options, cmd_score_soil},
    {"notebook init", "", 0, 0, "make an empty notebook",
     "One file; nothing that is already there is touched.", no_options,
     cmd_notebook_init},
    {"notebook info", "", 0, 0, "what the notebook holds",
     "Counts of places, patches, visits, finds and weather sources.",
     no_options, cmd_notebook_info},
    {"notebook verify", "", 0, 0, "check that the notebook is sound",
     "Every page of the file, every rule of its tables, every chain of "
     "corrections. Exit status 1 and a list if anything is wrong.",
     no_options, cmd_notebook_verify},
    {"notebook backup", "FILE", 1, 1, "copy the notebook while it is in use",
     "The copy appears under its name only when it is whole; a file that is "
     "already there is left alone.",
     no_options, cmd_notebook_backup},
    {"notebook upgrade", "", 0, 0,
     "bring a notebook of an older version up to date",
     "A copy of the file as it was is kept beside it.", no_options,
     cmd_notebook_upgrade},
    {"completion", "SHELL", 1, 1, "print the shell completion (bash)",
     "Put 'source <(pannage completion bash)' into ~/.bashrc.", no_options,
     cmd_completion},
    {"help", "[COMMAND...]", 0, 2, "show help", "Of pannage, or of a command.",
     help_options, cmd_help},
};

const size_t cli_command_count = sizeof cli_commands / sizeof *cli_commands;
