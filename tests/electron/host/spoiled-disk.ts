/** The real disk, spoiled in one way. */
import { diskLayer, type FileLayer } from '../../../electron/host/file-layer.ts';

function systemError(code: string): Error {
  return Object.assign(new Error(code), { code });
}

/** A disk with `room` bytes left on it. */
export function almostFullDisk(room: number): FileLayer {
  let left = room;
  return {
    ...diskLayer,
    openForWriting: async (path) => {
      const file = await diskLayer.openForWriting(path);
      return {
        ...file,
        write: async (bytes) => {
          await file.write(bytes.subarray(0, Math.max(0, Math.min(left, bytes.length))));
          left -= bytes.length;
          if (left < 0) throw systemError('ENOSPC');
        },
      };
    },
  };
}

/** A disk on which one operation answers with an error of the system. */
export function failingDisk(operation: keyof FileLayer, code: string): FileLayer {
  return {
    ...diskLayer,
    [operation]: async () => {
      throw systemError(code);
    },
  };
}

/** A disk whose writes lose a byte without a word. */
export function lyingDisk(): FileLayer {
  return {
    ...diskLayer,
    openForWriting: async (path) => {
      const file = await diskLayer.openForWriting(path);
      return {
        ...file,
        write: async (bytes) => {
          const copy = bytes.slice();
          copy[0] ^= 1;
          await file.write(copy);
        },
      };
    },
  };
}
