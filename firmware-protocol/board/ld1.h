/*
 * LD1 lines on the board's side: readings and hellos into a caller's buffer, host commands out of single bytes.
 * Portable C11: no heap, no floating point, no tables. The page of the format is ../line-format.md.
 *
 * Values come as integers scaled by a power of ten: 7002 with 2 decimals is sent as 70.02.
 * A line that may not be sent is never sent: the first thing that is wrong with it is kept as its refusal, whatever is
 * added later is ignored, and ld1_end gives 0 bytes.
 */
#ifndef LD1_H
#define LD1_H

#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Bytes of a line without its ending, as the format allows. */
#define LD1_LINE_BYTES 120
/* A buffer that holds any line with its line feed. There is no terminating zero. */
#define LD1_BUFFER_BYTES (LD1_LINE_BYTES + 1)

#define LD1_LEAST_INTERVAL_MS 100
#define LD1_MOST_INTERVAL_MS 60000

enum ld1_fault {
  LD1_NACK,  /* does not answer */
  LD1_CRC,   /* its own checksum is wrong */
  LD1_RANGE, /* answers nonsense */
  LD1_STUCK  /* has not changed for suspiciously long */
};

enum ld1_refusal {
  LD1_GOOD,
  LD1_NO_ROOM,   /* longer than the buffer or than LD1_LINE_BYTES */
  LD1_BAD_NAME,  /* station or board: 1-16 of A-Z a-z 0-9 _ - */
  LD1_BAD_KEY,   /* a letter, then up to 31 of A-Z a-z 0-9 _ . - */
  LD1_BAD_VALUE, /* more than 7 digits before the point or 6 after it; no fault; a fact not of 1-64 visible characters */
  LD1_TWICE,     /* a key that stands already */
  LD1_NO_VALUE   /* a reading without a key */
};

struct ld1_line {
  char *bytes;
  uint8_t room; /* for the line without checksum and ending */
  uint8_t used;
  uint8_t keys_from; /* where the first key's space stands */
  uint8_t is_reading;
  enum ld1_refusal refusal;
};

/* `bytes` has room for `size`; LD1_BUFFER_BYTES is always enough. */
void ld1_begin_reading(struct ld1_line *line, char *bytes, uint16_t size, const char *station, uint16_t boot,
                       uint32_t seq, uint32_t uptime_ms);
void ld1_begin_hello(struct ld1_line *line, char *bytes, uint16_t size, const char *board, uint16_t boot);

/* For readings. `scaled` is the value times 10^decimals; all the decimals are written. */
void ld1_add_value(struct ld1_line *line, const char *key, int32_t scaled, uint8_t decimals);
void ld1_add_fault(struct ld1_line *line, const char *key, enum ld1_fault fault);

/* For hellos. */
void ld1_add_fact(struct ld1_line *line, const char *key, const char *text);
void ld1_add_fact_number(struct ld1_line *line, const char *key, uint32_t number);

/* Closes the line with its checksum and LF. How many bytes to send; 0 if the line was refused. */
uint16_t ld1_end(struct ld1_line *line);

/* CRC-16/IBM-3740, one byte at a time, from LD1_CRC_START. */
#define LD1_CRC_START 0xFFFF
uint16_t ld1_crc(uint16_t crc, uint8_t byte);

/* A boot id that is never the one before: `last` from lasting memory, `noise` from anything unpredictable. */
uint16_t ld1_next_boot(uint16_t last, uint16_t noise);

/* Bytes of a command that are remembered: `=` and 6 digits, and one more to know that it is too long. */
#define LD1_COMMAND_BYTES 8

/* Set it to zero before the first byte. */
struct ld1_ear {
  char heard[LD1_COMMAND_BYTES];
  uint8_t used;
};

enum ld1_command {
  LD1_NOTHING,    /* the command has not ended yet */
  LD1_SAY_HELLO,  /* `?`, or anything that is not understood */
  LD1_SET_INTERVAL /* `=<ms>` within the limits, now in *interval_ms; is answered by a hello too */
};

/* One byte from the host. `interval_ms` is written only with LD1_SET_INTERVAL. */
enum ld1_command ld1_hear(struct ld1_ear *ear, char byte, uint16_t *interval_ms);

#ifdef __cplusplus
}
#endif

#endif
