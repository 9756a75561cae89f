/** What is answered to a request that was let in. */

import { serveStatic } from '@hono/node-server/serve-static';
import type { Context, MiddlewareHandler } from 'hono';
import { Hono } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import type { CartChangedAnswer, PartsListChangedAnswer, SavedAnswer } from './api.js';
import {
  cartAnswer,
  partsListAnswer,
  requirementFileAnswer,
  saveCart,
  savePartsList,
  versionsAnswer,
} from './cart-files.js';
import { deleteDraft, saveDraft } from './drafts.js';
import { cartName, partsListName, requirementFileName } from './file-names.js';
import type { Folder } from './folder-listing.js';
import { exampleAnswer, folderAnswer } from './folder-listing.js';
import { FOREVER } from './headers.js';
import { Problem, statusOf } from './problem.js';
import { listBodyOf, MOST_LIST_BODY, MOST_TEXT_BODY, textBodyOf } from './request-body.js';

export interface Site {
  readonly folder: Folder;
  /** folder of the built page */
  readonly page: string;
  /** told of every fault of the program */
  readonly onFault: (error: unknown) => void;
}

export function routes(site: Site): Hono {
  const app = new Hono();
  app.route('/api', readingRoutes(site.folder));
  app.route('/api', changingRoutes(site.folder.path));
  app.use('/assets/*', keptForGood);
  app.get('*', serveStatic({ root: site.page }));
  app.notFound((context) => {
    return told(context, new Problem('not there', 'There is nothing at this address.'));
  });
  app.onError((error, context) => {
    if (error instanceof Problem) return told(context, error);
    site.onFault(error);
    return told(context, new Problem('fault', 'A fault of the program; the terminal says more.'));
  });
  return app;
}

function told(context: Context, problem: Problem): Response {
  return context.json(problem.answer(), statusOf(problem.code));
}

function readingRoutes(folder: Folder): Hono {
  const { path, examples } = folder;
  const api = new Hono();
  api.get('/folder', async (c) => c.json(await folderAnswer(folder)));
  api.get('/cart', async (c) => c.json(await cartAnswer(path, cartName(c.req.query('name')))));
  api.get('/parts-list', async (c) => {
    return c.json(await partsListAnswer(path, partsListName(c.req.query('name'))));
  });
  api.get('/requirement-file', async (c) => {
    return c.json(await requirementFileAnswer(path, requirementFileName(c.req.query('name'))));
  });
  api.get('/versions', async (c) => {
    const list = c.req.query('parts-list');
    const listName = list === undefined ? null : partsListName(list);
    return c.json(await versionsAnswer(path, cartName(c.req.query('name')), listName));
  });
  api.get('/example', async (c) => {
    return c.json(await exampleAnswer(examples, cartName(c.req.query('name'))));
  });
  return api;
}

function changingRoutes(path: string): Hono {
  const api = new Hono();
  api.put('/cart', atMost(MOST_TEXT_BODY), async (c) => {
    const body = await textBodyOf(c);
    return saved(c, await saveCart(path, { ...body, name: cartName(body.name) }));
  });
  api.put('/parts-list', atMost(MOST_LIST_BODY), async (c) => {
    const body = await listBodyOf(c);
    return saved(c, await savePartsList(path, { ...body, name: partsListName(body.name) }));
  });
  api.put('/draft', atMost(MOST_TEXT_BODY), async (c) => {
    const body = await textBodyOf(c);
    return c.json(await saveDraft(path, { ...body, name: cartName(body.name) }));
  });
  api.delete('/draft', async (c) => {
    return c.json(await deleteDraft(path, cartName(c.req.query('name'))));
  });
  return api;
}

function atMost(bytes: number) {
  return bodyLimit({
    maxSize: bytes,
    onError: () => {
      throw new Problem('too large', `The body is too large; allowed: at most ${bytes} bytes`);
    },
  });
}

function saved(
  context: Context,
  answer: SavedAnswer | CartChangedAnswer | PartsListChangedAnswer,
): Response {
  return context.json(answer, 'code' in answer ? statusOf(answer.code) : 200);
}

/** Names below /assets change with what is in the files. */
const keptForGood: MiddlewareHandler = async (context, next) => {
  await next();
  if (context.res.ok) context.header('cache-control', FOREVER);
};
