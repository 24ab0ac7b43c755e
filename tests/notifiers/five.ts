/**
 * A broker that speaks MQTT 5, as far as one who publishes sees of it: aedes speaks 3.1.1 alone. Packets are read and
 * written by mqtt-packet (a codec of the standard); what is answered here follows OASIS MQTT 5.0, sections 3.1 to 3.4.
 */
import { type AddressInfo, createServer, type Socket } from 'node:net';
import { generate, type IConnectPacket, type IPublishPacket, parser } from 'mqtt-packet';
import { onTestFinished } from 'vitest';
import { happenings } from './events.ts';

export async function startFive(reasonCode = 0) {
  const connects = happenings<IConnectPacket>();
  const publishes = happenings<IPublishPacket>();
  const leaves = happenings<'disconnect' | 'cut'>();
  const sockets = new Set<Socket>();
  /** Answered to each publish; from 0x80 on it is a refusal (section 3.4.2.1). */
  let publishCode = 0;
  const server = createServer((socket) => {
    sockets.add(socket);
    const reader = parser({ protocolVersion: 5 });
    let saidGoodbye = false;
    reader.on('packet', (packet) => {
      if (packet.cmd === 'connect') {
        connects.push(packet);
        socket.write(generate({ cmd: 'connack', reasonCode, sessionPresent: false }, { protocolVersion: 5 }));
        if (reasonCode >= 0x80) socket.end();
      } else if (packet.cmd === 'publish') {
        publishes.push(packet);
        socket.write(
          generate(
            { cmd: 'puback', messageId: packet.messageId as number, reasonCode: publishCode },
            { protocolVersion: 5 },
          ),
        );
      } else if (packet.cmd === 'disconnect') {
        saidGoodbye = true;
        leaves.push('disconnect');
      }
    });
    socket.on('data', (bytes) => reader.parse(bytes));
    socket.on('error', () => {});
    socket.on('close', () => {
      sockets.delete(socket);
      if (!saidGoodbye) leaves.push('cut');
    });
  });
  await new Promise<void>((settle) => server.listen(0, '127.0.0.1', settle));
  onTestFinished(
    () =>
      new Promise<void>((settle) => {
        for (const socket of sockets) socket.destroy();
        server.close(() => settle());
      }),
  );
  return {
    url: `mqtt://127.0.0.1:${(server.address() as AddressInfo).port}`,
    connects,
    publishes,
    leaves,
    answerPublishes(code: number) {
      publishCode = code;
    },
  };
}
