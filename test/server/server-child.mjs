// A built server in a process of its own, which can be killed. Arguments: folder, folder of the page. Its one
// line of output is the address.
import { startServer } from '../../dist/server/index.js';

const [folder = '', page = ''] = process.argv.slice(2);
const server = await startServer({ folder, page, port: 0, examples: null });
console.log(server.address);
