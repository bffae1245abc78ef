/* libical FILE: reads an iCalendar file with libical, checks it against the restrictions of RFC 5545, and prints each
   event as a JSON list: identifier, words, start, number of alarms. */
#include <libical/ical.h>
#include <stdio.h>
#include <stdlib.h>

static void quoted(const char *text) {
    putchar('"');
    for (; text && *text; ++text) {
        if (*text == '"' || *text == '\\') putchar('\\');
        if ((unsigned char)*text < 0x20)
            printf("\\u%04x", *text);
        else
            putchar(*text);
    }
    putchar('"');
}

static char *contents(const char *path) {
    FILE *file = fopen(path, "rb");
    if (!file) return NULL;
    char *text = calloc(1, 1 << 22);
    if (text && fread(text, 1, (1 << 22) - 1, file) == 0) text[0] = 0;
    fclose(file);
    return text;
}

static int faults(icalcomponent *whole) {
    if (!icalrestriction_check(whole) || icalcomponent_count_errors(whole) > 0) {
        char *text = icalcomponent_as_ical_string_r(whole);
        fprintf(stderr, "restrictions are broken:\n%s\n", text);
        free(text);
        return 1;
    }
    return 0;
}

static void print_event(icalcomponent *event) {
    const struct icaltimetype start = icalcomponent_get_dtstart(event);
    printf("[");
    quoted(icalcomponent_get_uid(event));
    printf(", ");
    quoted(icalcomponent_get_summary(event));
    printf(", \"%04d-%02d-%02dT%02d:%02d:%02d.000Z\", %d]\n", start.year, start.month, start.day, start.hour, start.minute,
           start.second, icalcomponent_count_components(event, ICAL_VALARM_COMPONENT));
}

int main(int count, char **words) {
    char *text = count == 2 ? contents(words[1]) : NULL;
    icalcomponent *whole = text ? icalparser_parse_string(text) : NULL;
    free(text);
    if (!whole) {
        fprintf(stderr, "libical FILE: nothing to read\n");
        return 2;
    }
    const int wrong = faults(whole);
    for (icalcomponent *event = icalcomponent_get_first_component(whole, ICAL_VEVENT_COMPONENT); event;
         event = icalcomponent_get_next_component(whole, ICAL_VEVENT_COMPONENT))
        print_event(event);
    icalcomponent_free(whole);
    return wrong;
}
