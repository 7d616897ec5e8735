using StageView.Show.Cues;
using StageView.Show.Rigs;
using StageView.Stage.Cues;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;

namespace StageView.Show.Tests.Cues;

/// <summary>A cue file becomes a capture, the same every time.</summary>
public sealed class CueCaptureTests
{
    private static readonly string Folder = Repo.File("scenes", "foundry");

    [Fact]
    public void The_demo_s_cue_file_makes_the_capture_that_lies_beside_it()
    {
        var bytes = Written(CueCapture.Open(RigFiles.Open(Path.Combine(Folder, "foundry.rig.jsonc")), Path.Combine(Folder, "foundry.cues.jsonc"), Assert.Fail));
        var kept = File.ReadAllBytes(Path.Combine(Folder, "foundry.pcapng"));
        const string why = "the rig or the cues changed: run stageview cues on scenes/foundry and commit the capture";
        Assert.True(bytes.Length == kept.Length, why);

        // Another processor's sines may turn a last bit of a few levels.
        var differ = 0;
        for (var i = 0; i < bytes.Length; i++)
        {
            differ += bytes[i] == kept[i] ? 0 : 1;
        }

        Assert.True(differ < bytes.Length / 10_000, $"{differ} bytes differ: {why}");
    }

    [Fact]
    public void The_timecode_of_the_file_runs_in_the_capture_at_its_rate()
    {
        using var temp = new TempFolder();
        var file = temp.File("a.cues.jsonc",
            """{ "length": 2, "timecode": { "start": "10:00:00;00", "rate": "29.97 drop" }, "cues": [{ "time": "10:00:01;00", "name": "one", "set": [] }] }""");
        var rig = RigFiles.Open(Path.Combine(Folder, "foundry.rig.jsonc"));
        var show = CueCapture.Open(rig, file);

        // SMPTE 12M: a frame lasts 1001/30000 s, 30 of them 1.001 s.
        Assert.Equal(1.001, Assert.Single(show.Cues).Seconds, 1e-9);
        var capture = temp.File("a.pcapng", "");
        File.WriteAllBytes(capture, Written(show));
        var sent = new List<string>();
        foreach (var datagram in CaptureReader.Read(capture))
        {
            if (ArtTimeCode.TryParse(datagram.Payload.Span, out var timecode, out _))
            {
                sent.Add(timecode.ToString());
            }
        }

        Assert.Equal(("10:00:00;00", "10:00:01;29", 60), (sent[0], sent[^1], sent.Count));
    }

    [Fact]
    public void A_mistake_is_told_with_file_line_and_path()
    {
        using var temp = new TempFolder();
        var file = temp.File("a.cues.jsonc", "{ \"length\": 2,\n \"cues\": [{ \"time\": 0,\n \"set\": [{ \"fixtures\": \"fronst\", \"dimmer\": 1 }] }] }");
        var stop = Assert.Throws<StopException>(() => CueCapture.Open(RigFiles.Open(Path.Combine(Folder, "foundry.rig.jsonc")), file));
        Assert.StartsWith($"{file}:3: $.cues[0].set[0].fixtures: error: no fixture, number or group is called 'fronst': did you mean \"fronts\"?", stop.Message,
            StringComparison.Ordinal);
    }

    private static byte[] Written(CuePlayer show)
    {
        using var made = new MemoryStream();
        CueCapture.Write(show, made);
        return made.ToArray();
    }
}
