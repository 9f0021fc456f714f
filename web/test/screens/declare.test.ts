import { expect, test } from "vitest";
import { aDevice, VISIT } from "../store/device_store";
import { anEvent, aRecord } from "./record_builder";

const declaring = () => import("../../src/views/screens/incident/declare");

test("the button and the card that it opens declare one incident between them", async () => {
  const { disk } = await aDevice();
  const { declareIncident } = await declaring();
  const record = aRecord();
  await Promise.all([declareIncident(VISIT, record), declareIncident(VISIT, record)]);
  const lines = await disk.allOf<{ line: string }>("outbox");
  expect(lines.map(({ line }) => JSON.parse(line).kind)).toEqual(["incident_declared"]);
});

test("a declaration that could not be kept may be tried again", async () => {
  const { device, disk } = await aDevice(null);
  const { declareIncident } = await declaring();
  await expect(declareIncident(VISIT, aRecord())).rejects.toThrow();
  await device.takeDevice("assistant-1");
  await declareIncident(VISIT, aRecord());
  expect(await disk.allOf("outbox")).toHaveLength(1);
});

test("an incident that is on record is opened, not declared again", async () => {
  const { disk } = await aDevice();
  const { declareIncident } = await declaring();
  await declareIncident(VISIT, aRecord({ standing: [anEvent("incident_declared", {})] }));
  expect(await disk.allOf("outbox")).toEqual([]);
});
