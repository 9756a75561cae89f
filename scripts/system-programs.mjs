// Programs that the tests need and npm does not bring.
import { accessSync, constants, existsSync } from 'node:fs';
import { run } from './run.mjs';

/** @param {string} path */
export function isExecutable(path) {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

function installsWithApt() {
  return (
    process.getuid?.() === 0 && existsSync('/etc/debian_version') && existsSync('/usr/bin/apt-get')
  );
}

/**
 * Installs a Debian package where that is simple: on Debian, as root.
 *
 * @param {string} name
 * @returns {boolean} false: not tried
 */
export function installWithApt(name) {
  if (!installsWithApt()) return false;
  console.error(`Installing ${name} (apt-get)...`);
  const wait = ['-q', '-o', 'DPkg::Lock::Timeout=300'];
  const env = { DEBIAN_FRONTEND: 'noninteractive' };
  run('apt-get', [...wait, 'update'], { env, quiet: true });
  run('apt-get', [...wait, 'install', '-y', '--no-install-recommends', name], { env, quiet: true });
  return true;
}
