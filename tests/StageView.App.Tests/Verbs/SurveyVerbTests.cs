using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text.Json;
using StageView.Show.Rigs;
using StageView.Stage.Heads;
using StageView.Stage.Levels;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.App.Tests.Verbs;

/// <summary><c>survey</c> as a user runs it, from the network at a press of Enter as well.</summary>
[Collection("network ports")]
public sealed class SurveyVerbTests : IDisposable
{
    // A loopback address of our own, and a universe that nobody else has.
    private const string Host = "127.0.77.9";

    private const int Universe = 61017;

    private static readonly (string Name, float X, float Y, float Z)[] s_marks = [("A", -4, -2, 0), ("B", 4, -1.5f, 0), ("C", 1, 5, 0), ("D", -3, 6, 2)];

    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private string Rig => _folder.File("s.rig.jsonc", $$"""
        { "name": "s", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}"], "network": { "listen": ["{{Host}}"] },
          "parts": [ { "name": "truss", "at": [0, 2, 7], "hangs": [ { "name": "head", "profile": "spot-head", "number": 1, "patch": "{{Universe}}.1",
            "row": { "from": [-4, 0, -0.2], "to": [4, 0, -0.2], "count": 2 } } ] } ] }
        """);

    private string Marks(string sightings) => _folder.File("s.marks.jsonc", "{ \"name\": \"here\", \"marks\": { "
        + string.Join(", ", s_marks.Select(m => string.Create(CultureInfo.InvariantCulture, $"\"{m.Name}\": [{m.X}, {m.Y}, {m.Z}]")))
        + " },\n\"sightings\": [\n" + sightings + "\n] }");

    [Fact]
    public async Task Enter_takes_a_sighting_from_the_network_and_all_of_them_are_kept()
    {
        var stop = TestContext.Current.CancellationToken;
        var truth = RigFiles.Open(Rig, _folder.File("t.venue.jsonc", "{ \"name\": \"t\", \"move\": [ { \"what\": \"truss\", \"by\": [0.2, 0, -0.5] } ] }"));
        var pairs = truth.Fixtures.SelectMany(f => s_marks.Select(m => (Head: f, Mark: m))).ToList();
        var marks = Marks(string.Join(",\n", pairs.Select(p => $"{{ \"fixture\": \"{p.Head.Name}\", \"mark\": \"{p.Mark.Name}\" }}")));
        using var survey = CommandRun.Start("survey", Rig, marks, "--listen", "--keep", _folder["kept.marks.jsonc"], "--json");
        var output = survey.StandardOutput.ReadToEndAsync(stop);
        using var socket = new UdpClient(new IPEndPoint(IPAddress.Loopback, 0));
        var sequence = 0;
        foreach (var (head, mark) in pairs)
        {
            await Prompt(survey.StandardError, $"{head.Name} on {mark.Name}: ");
            var levels = new LevelsEncoder(truth);
            var aim = PanTilt.Aim(head, new(mark.X, mark.Y, mark.Z))[0];
            Assert.True(levels.TrySet(head, "Pan", aim.PanDegrees, out _) && levels.TrySet(head, "Tilt", aim.TiltDegrees, out _));
            var taken = false;
            while (!taken)
            {
                // Sent anew until the head has heard it and has come there.
                for (var i = 0; i < 25; i++)
                {
                    await Send(socket, levels, sequence++);
                    await Task.Delay(40, stop);
                }

                await survey.StandardInput.WriteLineAsync("".AsMemory(), stop);
                await survey.StandardInput.FlushAsync(stop);
                var said = (await survey.StandardError.ReadLineAsync(stop))!;
                Assert.True(said.Contains("not taken", StringComparison.Ordinal) || said.Contains("tilt", StringComparison.Ordinal), said);
                taken = !said.Contains("not taken", StringComparison.Ordinal) && Math.Abs(Angle(said, "pan") - aim.PanDegrees) < .02;
                if (!taken)
                {
                    Assert.Contains("not taken", said, StringComparison.Ordinal);
                    await Prompt(survey.StandardError, $"{head.Name} on {mark.Name}: ");
                }
            }
        }

        await survey.WaitForExitAsync(stop);
        using var answer = JsonDocument.Parse(await output);
        Assert.Equal(0, survey.ExitCode);
        var moved = answer.RootElement.GetProperty("parts")[0].GetProperty("movedBy");
        Assert.Equal([.2, 0, -.5], moved.EnumerateArray().Select(v => v.GetDouble()), (a, b) => Math.Abs(a - b) < .01);

        // What was kept gives the same answer without the network.
        var again = CommandRun.Of("survey", Rig, _folder["kept.marks.jsonc"], "--json");
        Assert.Equal(0, again.ExitCode);
        Assert.Contains(moved[2].GetRawText()[..6], again.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void An_input_that_ends_and_options_that_exclude_each_other_are_said_in_plain_words()
    {
        var marks = Marks("{ \"fixture\": \"head 1\", \"mark\": \"A\" }");
        foreach (var (options, said) in new (string[], string)[]
        {
            (["--listen"], "--listen goes with --keep FILE"),
            (["--keep", "a"], "--listen goes with --keep FILE"),
            (["--at", "3"], "--at is a time in a capture"),
            (["--sigma", "0"], "--sigma takes .001 to 10 degrees"),
            (["--listen", "--keep", marks], "that exists; name another file"),
            ([], "has no \"pan\" and \"tilt\""),
        })
        {
            var run = CommandRun.Of(["survey", Rig, marks, .. options]);
            Assert.Equal(2, run.ExitCode);
            Assert.Contains(said, run.Errors, StringComparison.Ordinal);
            run.AssertPlainWords();
        }
    }

    private static double Angle(string said, string axis) => double.Parse(
        said[(said.IndexOf(axis, StringComparison.Ordinal) + axis.Length)..].Trim().Split(',', ' ')[0], CultureInfo.InvariantCulture);

    /// <summary>Reads on until a prompt stands there; it ends without a new line.</summary>
    private static async Task Prompt(StreamReader errors, string wanted)
    {
        var (read, one) = (new System.Text.StringBuilder(), new char[1]);
        while (!read.ToString().EndsWith("leaves it out): ", StringComparison.Ordinal))
        {
            Assert.True(await errors.ReadAsync(one, TestContext.Current.CancellationToken) == 1, read.ToString());
            read.Append(one[0]);
        }

        Assert.Contains(wanted, read.ToString(), StringComparison.Ordinal);
    }

    private static async Task Send(UdpClient socket, LevelsEncoder levels, int sequence)
    {
        var packet = new byte[E131Numbers.LongestDataPacket];
        var length = E131Writer.Write(packet, new E131DataPacket
        {
            Cid = new Cid(0x5E, 0x77), SourceName = "desk"u8, Priority = 100, Sequence = (byte)sequence, Universe = new UniverseNumber(Universe),
            Levels = levels.LevelsOf(levels.Universes.ToList().IndexOf(Universe)),
        });
        await socket.SendAsync(packet.AsMemory(0, length), new IPEndPoint(IPAddress.Parse(Host), E131Numbers.Port), TestContext.Current.CancellationToken);
    }
}
