using System.Text.Json;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Files;
using StageView.Snapshot.Tests.Planted;

namespace StageView.Snapshot.Tests.Compare;

public sealed class PlantedTests
{
    public static TheoryData<string> Names => [.. PlantedPairs.All().Select(p => p.Name)];

    [Theory]
    [MemberData(nameof(Names))]
    public void Changes_are_caught_and_noise_passes(string name)
    {
        var pair = PlantedPairs.All().Single(p => p.Name == name);
        var result = FrameComparer.Compare(pair.Before, pair.After, CompareSettings.Default);
        Assert.True(
            (result.Verdict == FrameVerdict.Changed) == pair.IsChange,
            $"{result.Verdict}: largest {result.LargestLevels}, changed {result.ChangedPixels}, faint {result.FaintPixels}, edge {result.EdgePixels}");
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void So_does_the_perceptual_mode(string name)
    {
        var pair = PlantedPairs.All().Single(p => p.Name == name);
        var result = FrameComparer.Compare(pair.Before, pair.After, CompareSettings.Default with { Mode = CompareMode.Perceptual });
        Assert.True(
            pair.IsSeen is not { } seen || (result.Verdict == FrameVerdict.Changed) == seen,
            $"{result.Verdict}: largest {result.LargestPerceptual}, changed {result.ChangedPixels}, edge {result.EdgePixels}");
    }

    /// <summary>Writes the pairs and our verdicts for the script that makes the table beside other comparers.</summary>
    [Fact]
    public void Pairs_can_be_written_for_the_table()
    {
        var folder = Environment.GetEnvironmentVariable("STAGEVIEW_PLANTED_DIR")
            ?? Directory.CreateTempSubdirectory("stageview-planted-").FullName;
        var rows = new List<object>();
        foreach (var (pair, i) in PlantedPairs.All().Select((p, i) => (p, i)))
        {
            FrameFile.Save(pair.Before, Path.Combine(folder, $"{i:00}-before.png"));
            FrameFile.Save(pair.After, Path.Combine(folder, $"{i:00}-after.png"));
            rows.Add(new
            {
                index = i,
                name = pair.Name,
                change = pair.IsChange,
                seen = pair.IsSeen,
                levels = Says(CompareMode.Levels),
                perceptual = Says(CompareMode.Perceptual),
            });

            int Says(CompareMode mode) => FrameComparer.Compare(pair.Before, pair.After, CompareSettings.Default with { Mode = mode }).ChangedPixels;
        }

        File.WriteAllText(Path.Combine(folder, "pairs.json"), JsonSerializer.Serialize(rows));
        Assert.Equal((2 * rows.Count) + 1, Directory.GetFiles(folder).Length);
        if (Environment.GetEnvironmentVariable("STAGEVIEW_PLANTED_DIR") is null)
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
