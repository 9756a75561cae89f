/** What is answered to a request that was let in. */

import { serveStatic } from '@hono/node-server/serve-static';
import type { Context, Handler, MiddlewareHandler } from 'hono';
import { Hono } from 'hono';
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
import type { Records } from './records.js';
import { atMost, listBodyOf, MOST_LIST_BODY, MOST_TEXT_BODY, textBodyOf } from './request-body.js';

export interface Site {
  readonly folder: Folder;
  /** folder of the built page */
  readonly page: string;
  readonly records: Records;
  /** told of every fault of the program */
  readonly onFault: (error: unknown) => void;
}

export function routes(site: Site): Hono {
  const app = new Hono();
  app.route('/api', readingRoutes(site.folder));
  app.route('/api', changingRoutes(site.folder.path));
  app.on(['GET', 'PUT', 'POST'], ['/api/records', '/api/records/*'], recordsOnDemand(site));
  app.use('/assets/*', keptForGood);
  app.get('*', serveStatic({ root: site.page }));
  return withProblems(app, site);
}

/** Whatever is not done is answered in words. */
function withProblems(app: Hono, { onFault }: Site): Hono {
  app.notFound((context) => {
    return told(context, new Problem('not there', 'There is nothing at this address.'));
  });
  app.onError((error, context) => {
    if (error instanceof Problem) return told(context, error);
    onFault(error);
    return told(context, new Problem('fault', 'A fault of the program; the terminal says more.'));
  });
  return app;
}

/** Rules and databases of the record take a while to load, and a cart is opened without them. */
function recordsOnDemand(site: Site): Handler {
  let loaded: Promise<Hono> | null = null;
  return async ({ req }) => {
    loaded ??= import('./record-routes.js').then(({ recordRoutes }) =>
      withProblems(recordRoutes(site.records, site.onFault), site),
    );
    return (await loaded).fetch(req.raw);
  };
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
