import { describe, expect, it } from 'vitest';
import { resolvedNode } from '#server/field/node-text.ts';

const NAMESPACES = [
  'http://opcfoundation.org/UA/',
  'urn:station:server',
  'urn:station:plant',
  'urn:odd;name%',
];

describe('resolvedNode', () => {
  it.each([
    ['nsu=urn:station:plant;s=Intake.MassFlow', 'ns=2;s=Intake.MassFlow'],
    ['nsu=urn:station:plant;i=1001', 'ns=2;i=1001'],
    ['nsu=urn:station:plant;s=a;b=c', 'ns=2;s=a;b=c'],
    [
      'nsu=urn:station:plant;g=09087e75-8e5e-499b-954f-f2a9603db28a',
      'ns=2;g=09087e75-8e5e-499b-954f-f2a9603db28a',
    ],
    ['nsu=urn:station:plant;b=M/RbKBsRVkePCePcx24oRA==', 'ns=2;b=M/RbKBsRVkePCePcx24oRA=='],
    ['i=2258', 'ns=0;i=2258'],
  ])('turns %s into %s, forms per OPC UA Part 6, 5.3.1.10', (text, nodeId) => {
    expect(resolvedNode(text, NAMESPACES)).toEqual({ isResolved: true, nodeId });
  });

  it('reads %3B and %25 inside a URI as ; and %, per OPC UA Part 6, 5.3.1.11', () => {
    expect(resolvedNode('nsu=urn:odd%3Bname%25;i=7', NAMESPACES)).toEqual({
      isResolved: true,
      nodeId: 'ns=3;i=7',
    });
  });

  it('gives another index when the plant lists its namespaces in another order', () => {
    const moved = ['http://opcfoundation.org/UA/', 'urn:station:plant'];
    expect(resolvedNode('nsu=urn:station:plant;i=1', moved)).toEqual({
      isResolved: true,
      nodeId: 'ns=1;i=1',
    });
  });

  it.each([
    ['nsu=urn:elsewhere;s=X', 'the plant has no namespace urn:elsewhere'],
    [
      'ns=2;s=X',
      'ns=2;s=X names its namespace by an index, which moves when the plant restarts; use nsu=<uri>;',
    ],
    ['nsu=urn:station:plant;X', 'nsu=urn:station:plant;X has no identifier of the form i=, s=, g= or b='],
    [
      'nsu=urn:station:plant;i=1x',
      'nsu=urn:station:plant;i=1x has no identifier of the form i=, s=, g= or b=',
    ],
    ['', ' has no identifier of the form i=, s=, g= or b='],
  ])('refuses "%s" and says why', (text, problem) => {
    expect(resolvedNode(text, NAMESPACES)).toEqual({ isResolved: false, problem });
  });
});
