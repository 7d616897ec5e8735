using StageView.Rig.Pieces;

namespace StageView.Stage.Looks;

/// <summary>Orders in which a selection takes what is shared out over it.</summary>
internal static class SelectionOrder
{
    public static IReadOnlyList<string> Words { get; } = ["forward", "backward", "outward", "inward", "scattered"];

    /// <param name="fixtures">In the order of the rig.</param>
    /// <param name="word">One of <see cref="Words"/>; forward for anything else.</param>
    public static IReadOnlyList<Fixture> Of(IReadOnlyList<Fixture> fixtures, string word)
    {
        var middle = (fixtures.Count - 1) / 2.0;
        return word switch
        {
            "backward" => [.. fixtures.Reverse()],
            "outward" => [.. fixtures.Select((f, i) => (f, i)).OrderBy(x => Math.Abs(x.i - middle)).Select(x => x.f)],
            "inward" => [.. fixtures.Select((f, i) => (f, i)).OrderByDescending(x => Math.Abs(x.i - middle)).Select(x => x.f)],
            "scattered" => [.. fixtures.Select((f, i) => (f, i)).OrderBy(x => Mixed((uint)x.i)).Select(x => x.f)],
            _ => fixtures,
        };
    }

    /// <summary>The same disorder every time: a multiplicative hash of the place.</summary>
    private static uint Mixed(uint i)
    {
        unchecked
        {
            var h = (i + 1) * 2654435769u;
            return (h ^ (h >> 15)) * 2246822519u;
        }
    }
}
