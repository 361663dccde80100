/* Keys of a terminal, one at a time. The terminal is put back after each, so
 * that nothing leaves it in a strange state. */
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

#include "check_cli.h"

enum { ESCAPE = 27, CTRL_C = 3, CTRL_D = 4, ESCAPE_WAIT_MS = 60 };

bool check_can_pick(const cli_ctx *cli, size_t lines) {
    struct winsize size = {0};
    const char *term = getenv("TERM");
    return cli->columns > 0 && !cli->typed && isatty(STDIN_FILENO) == 1 &&
           term != NULL && strcmp(term, "dumb") != 0 &&
           ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_row > lines;
}

static bool read_byte(int wait_ms, unsigned char *out) {
    struct pollfd fd = {.fd = STDIN_FILENO, .events = POLLIN};
    return (wait_ms < 0 || poll(&fd, 1, wait_ms) == 1) &&
           read(STDIN_FILENO, out, 1) == 1;
}

/* "\033[A" or "\033OA"; a lone escape is nothing. */
static check_key key_of_escape(void) {
    unsigned char kind = 0;
    unsigned char which = 0;
    if (!read_byte(ESCAPE_WAIT_MS, &kind) || (kind != '[' && kind != 'O') ||
        !read_byte(ESCAPE_WAIT_MS, &which)) {
        return CHECK_KEY_NONE;
    }
    return which == 'A'   ? CHECK_KEY_UP
           : which == 'B' ? CHECK_KEY_DOWN
                          : CHECK_KEY_NONE;
}

static check_key key_of(unsigned char c) {
    switch (c) {
    case ESCAPE:
        return key_of_escape();
    case 'k':
        return CHECK_KEY_UP;
    case 'j':
        return CHECK_KEY_DOWN;
    case '\n':
    case '\r':
        return CHECK_KEY_TAKE;
    case '?':
        return CHECK_KEY_MAYBE;
    case 'u':
        return CHECK_KEY_UNSURE;
    case 'b':
        return CHECK_KEY_BACK;
    case 's':
        return CHECK_KEY_STATUS;
    case 'o':
        return CHECK_KEY_OTHER;
    case 'q':
    case CTRL_C:
    case CTRL_D:
        return CHECK_KEY_QUIT;
    default:
        return CHECK_KEY_NONE;
    }
}

check_key check_read_key(void) {
    struct termios before;
    unsigned char c = 0;
    if (tcgetattr(STDIN_FILENO, &before) != 0) {
        return CHECK_KEY_QUIT;
    }
    struct termios raw = before;
    raw.c_lflag &= (tcflag_t) ~(ICANON | ECHO | ISIG);
    raw.c_cc[VMIN] = 1;
    raw.c_cc[VTIME] = 0;
    if (tcsetattr(STDIN_FILENO, TCSADRAIN, &raw) != 0) {
        return CHECK_KEY_QUIT;
    }
    check_key key = read_byte(-1, &c) ? key_of(c) : CHECK_KEY_QUIT;
    (void)tcsetattr(STDIN_FILENO, TCSADRAIN, &before);
    return key;
}
