using System.Text.Json;

namespace StageView.TestKit;

/// <summary>GDTF and MVR archives made by chance, and what a reader of our own but in another language, written from the standards, says of any.</summary>
public static class FixtureArchives
{
    /// <summary>Rounds of levels that the reader answers for.</summary>
    public const int Rounds = 3;

    /// <summary>Writes <c>NNN.gdtf</c> and <c>NNN.mvr</c>; what the MVR hangs is of the GDTF of its number.</summary>
    public static void Make(string folder, int seed, int count) =>
        Tools.Run("python3", Repo.File("tests", "independent", "make_fixtures.py"), folder, $"{seed}", $"{count}");

    /// <summary>What the other reader says, an object by file.</summary>
    public static JsonElement Read(IEnumerable<string> files)
    {
        using var document = JsonDocument.Parse(Tools.Run("python3", [Repo.File("tests", "independent", "read_fixtures.py"), .. files]));
        return document.RootElement.Clone();
    }

    /// <summary>The level of a break's offset in a round, the same as the other reader's.</summary>
    public static byte Level(int dmxBreak, int offset, int round) => (byte)(((offset * 37) + (dmxBreak * 101) + (round * 59) + 13) % 256);
}
