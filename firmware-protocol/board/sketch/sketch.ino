/*
 * A hobby board that speaks LD1: one or two temperature and humidity sensors of the SHT3x or SHT4x family on I2C.
 *
 * Copy ld1.h, ld1.c, sensors.h and sensors.c from the folder above into this one, open it in the Arduino environment
 * and choose your board. Written for AVR boards (Uno, Nano, Mega). Others need their own way to learn the reset's cause
 * and to keep two bytes; the lines are the same.
 */
#include <EEPROM.h>
#include <Wire.h>

#include "ld1.h"
#include "sensors.h"

/* Two boards on one computer need two names. */
static const char BOARD[] = "box";

struct Station {
  const char *name;
  uint8_t address;
  enum air_family family; /* AIR_NONE until it has answered */
  bool fitted;            /* is missed when it does not answer */
};
static Station stations[] = {
    {"box", 0x44, AIR_NONE, true},
    {"room", 0x45, AIR_NONE, false},
};

static const uint8_t MEASURE_MS = 20;

static uint16_t boot;
static uint32_t seq;
static uint16_t intervalMs = 2000;
static uint32_t dueMs;
static char bytes[LD1_BUFFER_BYTES];
static struct ld1_ear ear;

static bool ask(uint8_t address, const uint8_t *command, uint8_t count) {
  Wire.beginTransmission(address);
  Wire.write(command, count);
  return Wire.endTransmission() == 0;
}

static bool take(uint8_t address, uint8_t *answer, uint8_t count) {
  if (Wire.requestFrom(address, count) != count) return false;
  for (uint8_t i = 0; i < count; i++) answer[i] = (uint8_t)Wire.read();
  return true;
}

/* Each family answers its own command only. */
static enum air_family find(uint8_t address) {
  static const uint8_t SERIAL_4X[] = {0x89};
  static const uint8_t STATUS_3X[] = {0xF3, 0x2D};
  uint8_t answer[6];
  ask(address, SERIAL_4X, sizeof SERIAL_4X);
  delay(1);
  if (take(address, answer, 6) && crc8_sht(answer, 2) == answer[2]) return AIR_SHT4X;
  ask(address, STATUS_3X, sizeof STATUS_3X);
  delay(1);
  if (take(address, answer, 3) && crc8_sht(answer, 2) == answer[2]) return AIR_SHT3X;
  return AIR_NONE;
}

static struct air measure(Station &station) {
  static const uint8_t MEASURE_4X[] = {0xFD};
  static const uint8_t MEASURE_3X[] = {0x24, 0x00};
  struct air air = {{0, OUTCOME_NACK}, {0, OUTCOME_NACK}};
  uint8_t answer[6];
  if (station.family == AIR_NONE) station.family = find(station.address);
  if (station.family == AIR_NONE) return air;
  station.fitted = true;
  if (station.family == AIR_SHT4X)
    ask(station.address, MEASURE_4X, sizeof MEASURE_4X);
  else
    ask(station.address, MEASURE_3X, sizeof MEASURE_3X);
  delay(MEASURE_MS);
  if (take(station.address, answer, sizeof answer)) return air_from(station.family, answer);
  station.family = AIR_NONE;
  return air;
}

static void add(struct ld1_line *line, const char *key, struct datum datum) {
  if (datum.outcome == OUTCOME_GOOD)
    ld1_add_value(line, key, datum.scaled, 2);
  else
    ld1_add_fault(line, key, (enum ld1_fault)datum.outcome);
}

static void sayHello() {
  struct ld1_line line;
  ld1_begin_hello(&line, bytes, sizeof bytes, BOARD, boot);
  ld1_add_fact(&line, "fw", "sketch-1.0.0");
  ld1_add_fact_number(&line, "every", intervalMs);
  if (stations[0].family != AIR_NONE)
    ld1_add_fact(&line, "part.rh", stations[0].family == AIR_SHT4X ? "sht4x" : "sht3x");
  Serial.write((const uint8_t *)bytes, ld1_end(&line));
}

static void report(Station &station, uint32_t nowMs) {
  struct ld1_line line;
  const struct air air = measure(station);
  if (!station.fitted) return;
  ld1_begin_reading(&line, bytes, sizeof bytes, station.name, boot, seq++, nowMs);
  add(&line, "t", air.celsius_x100);
  add(&line, "rh", air.humidity_x100);
  Serial.write((const uint8_t *)bytes, ld1_end(&line));
}

void setup() {
  Serial.begin(115200);
  Wire.begin();
  /* A sensor that holds the bus must not hold the board. */
  Wire.setWireTimeout(25000, true);
  uint16_t noise = LD1_CRC_START;
  for (uint8_t i = 0; i < 32; i++) noise = ld1_crc(noise, (uint8_t)analogRead(A0));
  EEPROM.get(0, boot);
  boot = ld1_next_boot(boot, noise);
  EEPROM.put(0, boot);
  stations[0].family = find(stations[0].address);
  sayHello();
  dueMs = millis() + intervalMs;
}

void loop() {
  while (Serial.available() > 0) {
    const enum ld1_command command = ld1_hear(&ear, (char)Serial.read(), &intervalMs);
    if (command == LD1_SET_INTERVAL && (int32_t)(dueMs - millis() - intervalMs) > 0) dueMs = millis() + intervalMs;
    if (command != LD1_NOTHING) sayHello();
  }
  const uint32_t nowMs = millis();
  if ((int32_t)(nowMs - dueMs) < 0) return;
  dueMs += intervalMs;
  if ((int32_t)(nowMs - dueMs) >= 0) dueMs = nowMs + intervalMs;
  for (Station &station : stations) report(station, nowMs);
}
