import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { request } from "node:http";
import { createServer, type Server } from "node:https";
import type { AddressInfo } from "node:net";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { accessible, fits } from "./checks";
import { browser, newData, ROOT, SCREENS, type Serving, serve, stop } from "./serving";

const PASSWORD = "quiet harbour, seven lamps";

let serving: Serving;
let proxy: Server;
let chrome: Browser;
let url: string;

/** Speaks TLS and passes on what it hears, as the proxy in front of a team's server does. */
function inFront(data: string): Server {
  const store = join(data, "certificate.p12");
  const key = ["-genkeypair", "-keyalg", "EC", "-alias", "a", "-storetype", "PKCS12", "-storepass", "changeit", "-dname", "CN=localhost"];
  execFileSync("keytool", [...key, "-keystore", store], { stdio: "ignore" });
  return createServer({ pfx: readFileSync(store), passphrase: "changeit" }, (asked, answer) => {
    const { method, url: path, headers } = asked;
    const on = request(`${serving.url}${path}`, { method, headers }, (reply) => {
      answer.writeHead(reply.statusCode ?? 502, reply.headers);
      reply.pipe(answer);
    });
    on.on("error", () => answer.destroy());
    asked.pipe(on);
  });
}

beforeAll(async () => {
  const data = newData();
  for (const role of ["see", "measure"]) {
    const words = ["account", "add", `${role}.er`, "--person", `Person who may ${role}`, "--role", role, "--data", data];
    execFileSync(join(ROOT, "fieldwright"), words, { input: `${PASSWORD}\n`, stdio: ["pipe", "ignore", "ignore"] });
  }
  proxy = inFront(data).listen(0);
  url = `https://localhost:${(proxy.address() as AddressInfo).port}`;
  serving = await serve(data, "--team", url);
  chrome = await browser();
}, 600_000);

afterAll(async () => {
  await chrome?.close();
  proxy?.close();
  if (serving) {
    await stop(serving);
  }
});

async function signedIn(role: string, size: { width: number; height: number }): Promise<Page> {
  const page = await chrome.newPage({ viewport: size, ignoreHTTPSErrors: true, bypassCSP: true });
  page.setDefaultTimeout(120_000);
  await page.goto(url);
  await page.getByText("Who is reading?").waitFor();
  await accessible(page, "the sign-in");
  await fits(page, "the sign-in");
  await page.getByLabel("Name").fill(`${role}.er`);
  await page.getByLabel("Password").fill("not the one it is");
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.getByText("do not belong together").waitFor();
  await page.screenshot({ path: join(SCREENS, `13-sign-in-${role}.png`) });
  await page.getByLabel("Password").fill(PASSWORD);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.getByText("Your magnets").waitFor();
  return page;
}

describe("a team behind TLS", () => {
  it("whoever may measure does, and is named; whoever may see is told what they may not", async () => {
    const page = await signedIn("measure", { width: 1366, height: 768 });
    await page.getByRole("button", { name: "Open the sample magnet" }).click();
    await page.getByRole("link", { name: /10 Mar 2026/ }).click();
    await page.getByText("570 of 600 readings carry the field model").waitFor();
    await page.getByText("Signing evidence takes the role").waitFor();
    expect(await page.getByRole("button", { name: "Evidence (signed ZIP)" }).isDisabled()).toBe(true);

    const phone = await signedIn("see", { width: 390, height: 844 });
    await phone.goto(`${url}/#/kestrel-ridge/2026-03-10`);
    await phone.getByText("570 of 600 readings carry the field model").waitFor();
    await phone.getByText("Searching for a plan takes the role “measure”; yours is “see”.").waitFor();
    expect(await phone.getByRole("button", { name: "Keep it" }).count()).toBe(0);
    await fits(phone, "the visit of whoever may see");
    await phone.locator(".who summary").click();
    await fits(phone, "the name with what is behind it");
    await phone.screenshot({ path: join(SCREENS, "14-who.png") });
    await phone.getByRole("button", { name: "Sign out" }).click();
    await phone.getByText("Who is reading?").waitFor();
    await phone.reload();
    await phone.getByText("Who is reading?").waitFor();
  }, 600_000);
});
