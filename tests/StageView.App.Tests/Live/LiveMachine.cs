namespace StageView.App.Tests.Live;

/// <summary>
/// Tests that run the real command, a browser or a display: one at a time, after all others, so that none waits for
/// the processor that the next one has.
/// </summary>
[CollectionDefinition(Name, DisableParallelization = true)]
public sealed class LiveMachine : ICollectionFixture<Browser>
{
    public const string Name = "live machine";
}
