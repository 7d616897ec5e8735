namespace StageView.Live.Tests;

/// <summary>
/// Tests that open a browser or count memory: one at a time, after all others, so that none waits for the processor that the
/// next one has.
/// </summary>
[CollectionDefinition(Name, DisableParallelization = true)]
public sealed class LiveMachine : ICollectionFixture<Browser>
{
    public const string Name = "live machine";
}
