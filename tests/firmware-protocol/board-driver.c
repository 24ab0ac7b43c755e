/*
 * Lets a test call the board's C side: one call a row on stdin, strings in hexadecimal ("-" is the empty one), answers
 * on stdout. The line's buffer comes from the heap, exactly as long as the test says, so that a byte too far is seen.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ld1.h"
#include "sensors.h"

static char strings[2][512];

static size_t from_hex(const char *hex, char *into) {
  size_t length = 0;
  unsigned byte;
  for (; hex[0] != '-' && sscanf(hex, "%2x", &byte) == 1; hex += 2) into[length++] = (char)byte;
  into[length] = '\0';
  return length;
}

static void print_datum(struct datum datum) { printf(" %d %ld", datum.outcome, (long)datum.scaled); }

int main(void) {
  char row[1200], a[1100], b[1100];
  char *buffer = NULL;
  struct ld1_line line;
  struct ld1_ear ear;
  memset(&ear, 0, sizeof ear);
  while (fgets(row, sizeof row, stdin) != NULL) {
    unsigned size, boot, decimals;
    unsigned long seq, uptime;
    long scaled;
    if (sscanf(row, "reading %u %1000s %u %lu %lu", &size, a, &boot, &seq, &uptime) == 5) {
      buffer = realloc(buffer, size);
      from_hex(a, strings[0]);
      ld1_begin_reading(&line, buffer, (uint16_t)size, strings[0], (uint16_t)boot, (uint32_t)seq, (uint32_t)uptime);
    } else if (sscanf(row, "hello %u %1000s %u", &size, a, &boot) == 3) {
      buffer = realloc(buffer, size);
      from_hex(a, strings[0]);
      ld1_begin_hello(&line, buffer, (uint16_t)size, strings[0], (uint16_t)boot);
    } else if (sscanf(row, "value %1000s %ld %u", a, &scaled, &decimals) == 3) {
      from_hex(a, strings[0]);
      ld1_add_value(&line, strings[0], (int32_t)scaled, (uint8_t)decimals);
    } else if (sscanf(row, "fault %1000s %ld", a, &scaled) == 2) {
      from_hex(a, strings[0]);
      ld1_add_fault(&line, strings[0], (enum ld1_fault)scaled);
    } else if (sscanf(row, "fact %1000s %1000s", a, b) == 2) {
      from_hex(a, strings[0]);
      from_hex(b, strings[1]);
      ld1_add_fact(&line, strings[0], strings[1]);
    } else if (sscanf(row, "number %1000s %lu", a, &seq) == 2) {
      from_hex(a, strings[0]);
      ld1_add_fact_number(&line, strings[0], (uint32_t)seq);
    } else if (strcmp(row, "end\n") == 0) {
      const uint16_t bytes = ld1_end(&line);
      if (bytes == 0)
        printf("refused %d\n", line.refusal);
      else
        printf("%.*s", (int)bytes, buffer);
    } else if (sscanf(row, "hear %1000s", a) == 1) {
      const size_t count = from_hex(a, strings[0]);
      for (size_t i = 0; i < count; i++) {
        uint16_t interval = 0;
        const enum ld1_command command = ld1_hear(&ear, strings[0][i], &interval);
        if (command == LD1_SAY_HELLO) printf("hello ");
        if (command == LD1_SET_INTERVAL) printf("%u ", interval);
      }
      printf("\n");
    } else if (sscanf(row, "crc %1000s", a) == 1) {
      const size_t count = from_hex(a, strings[0]);
      uint16_t crc = LD1_CRC_START;
      for (size_t i = 0; i < count; i++) crc = ld1_crc(crc, (uint8_t)strings[0][i]);
      printf("%04X\n", crc);
    } else if (sscanf(row, "boot %lu %lu", &seq, &uptime) == 2) {
      printf("%u\n", ld1_next_boot((uint16_t)seq, (uint16_t)uptime));
    } else if (sscanf(row, "air %u %1000s", &size, a) == 2) {
      from_hex(a, strings[0]);
      const struct air air = air_from((enum air_family)size, (const uint8_t *)strings[0]);
      print_datum(air.celsius_x100);
      print_datum(air.humidity_x100);
      printf("\n");
    } else if (sscanf(row, "probe %1000s", a) == 1) {
      from_hex(a, strings[0]);
      print_datum(probe_from((const uint8_t *)strings[0]));
      printf("\n");
    } else if (sscanf(row, "eight %1000s", a) == 1) {
      const uint8_t count = (uint8_t)from_hex(a, strings[0]);
      printf("%02X %02X\n", crc8_sht((const uint8_t *)strings[0], count),
             crc8_one_wire((const uint8_t *)strings[0], count));
    } else if (sscanf(row, "grams %ld %u", &scaled, &size) == 2) {
      printf("%ld\n", (long)cell_grams_x100((int32_t)scaled, (uint8_t)size));
    } else {
      fprintf(stderr, "not a call: %s", row);
      return 1;
    }
  }
  free(buffer);
  return 0;
}
