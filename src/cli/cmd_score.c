#include "cli.h"

int cmd_score_soil(cli_ctx *cli, const cli_args *args) {
    (void)cli;
    (void)args;
    return cli_fail(CLI_SYSTEM, "written when score.h lands");
}
