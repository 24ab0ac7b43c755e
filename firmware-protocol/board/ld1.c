#include "ld1.h"

/* " *" and 4 digits; the line feed comes on top. */
#define CHECKSUM_BYTES 6
#define NAME_BYTES 16
#define KEY_BYTES 32
#define FACT_BYTES 64
#define WHOLE_DIGITS 7
#define DECIMALS 6
#define UINT32_DIGITS 10

static uint8_t is_letter(char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); }
static uint8_t is_digit(char c) { return c >= '0' && c <= '9'; }
static uint8_t is_name_char(char c) { return is_letter(c) || is_digit(c) || c == '_' || c == '-'; }

static void refuse(struct ld1_line *line, enum ld1_refusal why) {
  if (line->refusal == LD1_GOOD) line->refusal = why;
}

static void put(struct ld1_line *line, char c) {
  if (line->refusal != LD1_GOOD) return;
  if (line->used >= line->room)
    refuse(line, LD1_NO_ROOM);
  else
    line->bytes[line->used++] = c;
}

static void put_text(struct ld1_line *line, const char *text) {
  while (*text != '\0') put(line, *text++);
}

/* Decimal digits of `number`, the last one first; how many. */
static uint8_t digits_of(uint32_t number, char digits[UINT32_DIGITS]) {
  uint8_t count = 0;
  for (; number > 0xFFFF; number /= 10) digits[count++] = (char)('0' + number % 10);
  /* Short numbers are divided as such: a third of the time where there is no divider. */
  uint16_t rest = (uint16_t)number;
  do {
    digits[count++] = (char)('0' + rest % 10);
    rest /= 10;
  } while (rest != 0);
  return count;
}

static void put_number(struct ld1_line *line, uint32_t number) {
  char digits[UINT32_DIGITS];
  uint8_t count = digits_of(number, digits);
  while (count > 0) put(line, digits[--count]);
}

/* The four lowest hexadecimal digits; `ten` is the letter that stands for ten. */
static void write_hex(char *to, uint16_t number, char ten) {
  for (uint8_t i = 4; i-- > 0; number >>= 4) {
    const uint8_t digit = number & 0xF;
    to[i] = (char)(digit < 10 ? '0' + digit : ten + digit - 10);
  }
}

static void put_boot(struct ld1_line *line, uint16_t boot) {
  char digits[4];
  write_hex(digits, boot, 'a');
  put(line, ' ');
  for (uint8_t i = 0; i < 4; i++) put(line, digits[i]);
}

static uint8_t is_name(const char *name) {
  uint8_t length = 0;
  for (; name[length] != '\0'; length++)
    if (length >= NAME_BYTES || !is_name_char(name[length])) return 0;
  return length > 0;
}

static void put_name(struct ld1_line *line, const char *name) {
  if (is_name(name))
    put_text(line, name);
  else
    refuse(line, LD1_BAD_NAME);
}

static uint8_t is_key(const char *key) {
  if (!is_letter(key[0])) return 0;
  for (uint8_t i = 1; key[i] != '\0'; i++)
    if (i >= KEY_BYTES || !(is_name_char(key[i]) || key[i] == '.')) return 0;
  return 1;
}

/* The keys so far are looked up in the line itself: each stands between a space and "=". */
static uint8_t stands(const struct ld1_line *line, const char *key) {
  for (uint8_t at = line->keys_from; at < line->used; at++) {
    if (line->bytes[at] != ' ') continue;
    uint8_t i = 0;
    while (at + 1 + i < line->used && key[i] != '\0' && line->bytes[at + 1 + i] == key[i]) i++;
    if (key[i] == '\0' && at + 1 + i < line->used && line->bytes[at + 1 + i] == '=') return 1;
  }
  return 0;
}

static void put_key(struct ld1_line *line, const char *key) {
  if (!is_key(key))
    refuse(line, LD1_BAD_KEY);
  else if (stands(line, key))
    refuse(line, LD1_TWICE);
  put(line, ' ');
  put_text(line, key);
  put(line, '=');
}

static void begin(struct ld1_line *line, char *bytes, uint16_t size, const char *start, uint8_t is_reading) {
  if (size > LD1_BUFFER_BYTES) size = LD1_BUFFER_BYTES;
  line->bytes = bytes;
  line->room = (uint8_t)(size > CHECKSUM_BYTES ? size - CHECKSUM_BYTES - 1 : 0);
  line->used = 0;
  line->keys_from = 0;
  line->is_reading = is_reading;
  line->refusal = LD1_GOOD;
  put_text(line, start);
}

void ld1_begin_reading(struct ld1_line *line, char *bytes, uint16_t size, const char *station, uint16_t boot,
                       uint32_t seq, uint32_t uptime_ms) {
  begin(line, bytes, size, "LD1 ", 1);
  put_name(line, station);
  put_boot(line, boot);
  put(line, ' ');
  put_number(line, seq);
  put(line, ' ');
  put_number(line, uptime_ms);
  line->keys_from = line->used;
}

void ld1_begin_hello(struct ld1_line *line, char *bytes, uint16_t size, const char *board, uint16_t boot) {
  begin(line, bytes, size, "LD1H ", 0);
  put_name(line, board);
  put_boot(line, boot);
  line->keys_from = line->used;
}

void ld1_add_value(struct ld1_line *line, const char *key, int32_t scaled, uint8_t decimals) {
  char digits[UINT32_DIGITS];
  /* The most negative number has no positive twin; its magnitude is taken in unsigned arithmetic. */
  const uint32_t magnitude = scaled < 0 ? 0u - (uint32_t)scaled : (uint32_t)scaled;
  uint8_t count = digits_of(magnitude, digits);
  put_key(line, key);
  if (decimals > DECIMALS || count > WHOLE_DIGITS + decimals) {
    refuse(line, LD1_BAD_VALUE);
    return;
  }
  if (scaled < 0) put(line, '-');
  /* One digit stands before the point even if it is nought. */
  while (count <= decimals) digits[count++] = '0';
  while (count > 0) {
    put(line, digits[--count]);
    if (count == decimals && count > 0) put(line, '.');
  }
}

void ld1_add_fault(struct ld1_line *line, const char *key, enum ld1_fault fault) {
  put_key(line, key);
  if (fault == LD1_NACK)
    put_text(line, "!nack");
  else if (fault == LD1_CRC)
    put_text(line, "!crc");
  else if (fault == LD1_RANGE)
    put_text(line, "!range");
  else if (fault == LD1_STUCK)
    put_text(line, "!stuck");
  else
    refuse(line, LD1_BAD_VALUE);
}

static uint8_t is_fact(const char *text) {
  uint8_t length = 0;
  for (; text[length] != '\0'; length++)
    if (length >= FACT_BYTES || text[length] < '!' || text[length] > '~') return 0;
  return length > 0;
}

void ld1_add_fact(struct ld1_line *line, const char *key, const char *text) {
  put_key(line, key);
  if (is_fact(text))
    put_text(line, text);
  else
    refuse(line, LD1_BAD_VALUE);
}

void ld1_add_fact_number(struct ld1_line *line, const char *key, uint32_t number) {
  put_key(line, key);
  put_number(line, number);
}

uint16_t ld1_end(struct ld1_line *line) {
  if (line->is_reading && line->used == line->keys_from) refuse(line, LD1_NO_VALUE);
  if (line->refusal != LD1_GOOD) return 0;
  uint16_t crc = LD1_CRC_START;
  for (uint8_t i = 0; i < line->used; i++) crc = ld1_crc(crc, (uint8_t)line->bytes[i]);
  char *end = line->bytes + line->used;
  end[0] = ' ';
  end[1] = '*';
  write_hex(end + 2, crc, 'A');
  end[CHECKSUM_BYTES] = '\n';
  return (uint16_t)(line->used + CHECKSUM_BYTES + 1);
}

uint16_t ld1_crc(uint16_t crc, uint8_t byte) {
  /* Eight steps of x^16 + x^12 + x^5 + 1 at once, without a table. */
  crc = (uint16_t)(crc >> 8 | crc << 8);
  crc ^= byte;
  crc ^= (uint16_t)((crc & 0xFF) >> 4);
  crc ^= (uint16_t)(crc << 12);
  crc ^= (uint16_t)((crc & 0xFF) << 5);
  return crc;
}

uint16_t ld1_next_boot(uint16_t last, uint16_t noise) {
  /* 1 to 65535 further on the circle of 65536: anywhere but where it was. */
  return (uint16_t)(last + 1 + noise % 0xFFFF);
}

enum ld1_command ld1_hear(struct ld1_ear *ear, char byte, uint16_t *interval_ms) {
  if (byte != '\n') {
    if (ear->used < LD1_COMMAND_BYTES) ear->heard[ear->used++] = byte;
    return LD1_NOTHING;
  }
  uint8_t length = ear->used;
  ear->used = 0;
  if (length > 0 && ear->heard[length - 1] == '\r') length--;
  if (length < 2 || length == LD1_COMMAND_BYTES || ear->heard[0] != '=') return LD1_SAY_HELLO;
  uint32_t ms = 0;
  for (uint8_t i = 1; i < length; i++) {
    if (!is_digit(ear->heard[i])) return LD1_SAY_HELLO;
    ms = ms * 10 + (uint32_t)(ear->heard[i] - '0');
  }
  if (ms < LD1_LEAST_INTERVAL_MS || ms > LD1_MOST_INTERVAL_MS) return LD1_SAY_HELLO;
  *interval_ms = (uint16_t)ms;
  return LD1_SET_INTERVAL;
}
