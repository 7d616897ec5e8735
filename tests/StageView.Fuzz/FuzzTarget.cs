namespace StageView.Fuzz;

/// <summary>Something that takes bytes from outside: it may refuse them, and must not throw, hang or grow.</summary>
/// <param name="MakeSeeds">Good inputs. Called only when they are asked for: instrumented code can't run before the fuzzer has set up its memory.</param>
/// <param name="Run">Takes one input.</param>
internal sealed record FuzzTarget(Func<IReadOnlyList<byte[]>> MakeSeeds, Action<byte[]> Run)
{
    /// <summary>Texts whose words go into inputs beside those of the seeds: the keys that a format has.</summary>
    public Func<IReadOnlyList<byte[]>>? MakeWords { get; init; }
}
