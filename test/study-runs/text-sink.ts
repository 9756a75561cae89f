/** A stream that keeps what is written to it. */

import { Writable } from 'node:stream';

export class TextSink extends Writable {
  readonly #chunks: Buffer[] = [];

  override _write(chunk: Buffer, _encoding: string, done: () => void): void {
    this.#chunks.push(chunk);
    done();
  }

  text(): string {
    return Buffer.concat(this.#chunks).toString('utf8');
  }
}
