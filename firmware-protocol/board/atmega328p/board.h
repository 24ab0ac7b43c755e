/*
 * Pins and names of the reference board: ATmega328P at 16 MHz. The names in brackets are those of the hobby boards.
 *
 *   PD0, PD1 (0, 1)    UART to the host, 115200 8N1
 *   PC4, PC5 (A4, A5)  I2C: box sensor at 0x44, room sensor at 0x45
 *   PD2 (2)            1-Wire: surface probe
 *   PD3 (3)            1-Wire: probe on the load cell
 *   PD4, PD5 (4, 5)    bridge ADC: data, clock
 *   PD7 (7)            to ground at a reset: forget which sensors were fitted
 */
#ifndef BOARD_H
#define BOARD_H

#define FIRMWARE_VERSION "1.0.0"

/* Several boards on one host need different names; give them with -D. */
#ifndef BOARD_NAME
#define BOARD_NAME "box"
#endif
#ifndef BOX_STATION
#define BOX_STATION "box"
#endif
#ifndef ROOM_STATION
#define ROOM_STATION "room"
#endif

#define BOX_ADDRESS 0x44
#define ROOM_ADDRESS 0x45

#define SURFACE_PROBE_PIN 2
#define CELL_PROBE_PIN 3
#define BRIDGE_DATA_PIN 4
#define BRIDGE_CLOCK_PIN 5
#define FORGET_PIN 7

#define FIRST_INTERVAL_MS 2000
/* From reset to the first line: a probe's conversion takes most of it. */
#define FIRST_LINE_MS 1000

#endif
