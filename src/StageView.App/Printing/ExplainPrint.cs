using System.Globalization;
using StageView.Ground.Words;
using StageView.Light.Colour;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Stage.Programs;
using StageView.Stage.State;
using StageView.Wire.Health;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.App.Printing;

/// <summary>How a level is explained to people and programs.</summary>
internal static class ExplainPrint
{
    /// <param name="answer">The answer.</param>
    /// <param name="listened">Whether levels came from the network, so that a universe without senders is news.</param>
    /// <param name="file">The rig file, for an address that belongs to no fixture.</param>
    public static void Print(ExplainAnswer answer, bool listened, string file)
    {
        foreach (var (address, senders) in answer.Senders)
        {
            PrintSources(address, senders, listened);
        }

        if (answer.State is not { } state)
        {
            Console.WriteLine($"{answer.Asked.Address} belongs to no fixture of {file}");
            return;
        }

        PrintState(answer.Asked.Fixture!, state, answer.Asked.Address, answer.At, answer.Pixel);
        if (answer.Asked.Address is null && !answer.Drives.All(d => d.IsPlain))
        {
            DrivePrint.Print(state.Attributes, answer.Drives);
        }

        Console.WriteLine(EyeCaution.Text);
    }

    /// <summary>The answer as JSON has it.</summary>
    public static object Plain(ExplainAnswer answer) => new
    {
        at = answer.At.TotalSeconds,
        address = answer.Asked.Address?.ToString(),
        sources = answer.Senders.Select(s => new { address = s.Address.ToString(), senders = s.Senders }),
        fixture = answer.State?.Name,
        pixel = answer.Pixel is { } p ? new
        {
            p.Geometry, column = p.Column + 1, row = p.Row + 1, component = p.Component.ToString(), p.Byte,
            luminance = Chromaticity.Luminance(p.Luminance)
        } : null,
        attributes = answer.State?.Attributes.Zip(answer.Drives, (x, drive) => new
        {
            x.Channel,
            addresses = x.Addresses.Select(y => y.ToString()),
            bytes = LevelsQuestion.Bytes(x),
            x.Raw,
            x.Highest,
            x.IsDefault,
            x.Attribute,
            x.Function,
            x.Set,
            x.Target,
            x.Now,
            x.Unit,
            x.ArrivesIn,
            simulated = x.IsSimulated,
            x.WhyNot,
            x.Note,
            sources = DrivePrint.Plain(drive),
            fought = drive.IsFought,
            split = drive.IsSplit,
        }),
        emitters = answer.State?.Emitters.Select(e => new
        {
            e.Name,
            position = Three(e.Position),
            direction = Three(e.Direction),
            e.Intensity,
            lumens = e.FluxLumens,
            cie = new[] { e.Chromaticity.X, e.Chromaticity.Y },
            beamDegrees = e.BeamDegrees,
            beamDegreesUp = e.BeamDegreesUp,
            e.Beams,
            e.Gobo,
            e.Pixels,
            pixelLuminance = e.PixelLuminance,
            brightestPixel = e.BrightestPixel,
            strobeHertz = e.StrobeHertz,
            intensityNow = e.IntensityNow,
        }),
        caution = answer.State is null ? null : EyeCaution.Text,
    };

    private static void PrintSources(UniverseAddress address, IReadOnlyList<AddressSource> seen, bool listened)
    {
        if (seen.Count == 0 && listened)
        {
            Console.WriteLine($"universe {address.Universe}: nothing was heard");
        }

        foreach (var s in seen)
        {
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{address} = {s.Level?.ToString(CultureInfo.InvariantCulture) ?? "none"} from {(s.Protocol == SourceProtocol.E131 ? "sACN " : "")}{s.Label}, "
                + $"priority {s.Priority}{(s.PerAddressPriority ? " (per address)" : "")}, "
                + $"last {s.SecondsSinceSeen:0.000} s before{(s.Preview ? ", preview" : "")}: "
                + $"{FindingWords.Fate(s)}"));
        }
    }

    private static void PrintState(Fixture fixture, FixtureState state, UniverseAddress? address, TimeSpan time, PixelPlace? pixel)
    {
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"{fixture.Name}{(fixture.Number.Length > 0 ? $" ({fixture.Number})" : "")}, {fixture.Profile.Name}, {fixture.Mode.Name}, at "
            + $"{time.TotalSeconds:0.###} s"));
        var rows = state.Attributes.Where(a => address is null || a.Addresses.Contains(address.Value)).Select(a => (string[])
        [
            a.Channel,
            a.Addresses.Count == 0 ? "virtual" : a.Addresses[0].ToString(),
            a.Addresses.Count == 0 ? "" : string.Join(' ', LevelsQuestion.Bytes(a)),
            string.Create(CultureInfo.InvariantCulture, $"{a.Raw}/{a.Highest}"),
            a.Function,
            a.Set.Length > 0 ? a.Set : AttributeNames.Describe(a.Target, a.Unit),
            Moving(a),
        ]).ToArray();
        if (rows.Length > 0)
        {
            Answers.Table(["channel", "address", "bytes", "value", "function", "asks for", "now"], rows);
        }
        else if (address is not null && pixel is null)
        {
            Console.WriteLine($"{address} lies within {fixture.Name}, but none of its channels uses it");
        }

        if (pixel is not null)
        {
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{address}: {pixel.Component}{(pixel.Byte > 0 ? " (fine)" : "")} of pixel column {pixel.Column + 1}, row {pixel.Row + 1} of "
                + $"{pixel.Geometry}, {Chromaticity.Luminance(pixel.Luminance):0} cd/m²"));
        }

        foreach (var e in state.Emitters.Take(12))
        {
            var up = MathF.Abs(e.BeamDegreesUp - e.BeamDegrees) < .05f ? "" : $" by {e.BeamDegreesUp:0.0}°";
            var beam = e.Beams > 0 ? $", {e.BeamDegrees:0.0}°{up} beam" : "";
            if (e.Pixels > 0 && e.Beams == 0)
            {
                Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
                    $"{e.Name}: {Counted.Of(e.Pixels, "pixel")} at {e.Intensity * 100:0}%{Strobe(e)}, {e.PixelLuminance:0} cd/m²"
                    + $"{(e.Pixels > 1 ? $" in the mean, {e.BrightestPixel:0} the brightest" : "")}, {e.FluxLumens:0} lm, CIE {e.Chromaticity.X:0.000}, "
                    + $"{e.Chromaticity.Y:0.000}, at {Point(e.Position)}, facing {Point(e.Direction)}"));
                continue;
            }

            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{e.Name}: {e.FluxLumens:0} lm at {e.Intensity * 100:0}%{Strobe(e)}, CIE {e.Chromaticity.X:0.000}, {e.Chromaticity.Y:0.000}{beam}"
                + $"{(e.Beams > 1 ? $" × "
                + $"{e.Beams}" : "")}{(e.Gobo.Length > 0 ? $", gobo {e.Gobo}" : "")}, from {Point(e.Position)} along {Point(e.Direction)}"));
        }

        if (state.Emitters.Count > 12)
        {
            Console.WriteLine($"and {state.Emitters.Count - 12} more emitters");
        }
    }

    /// <summary>A strobe's mean over the exposure says little of the instant that <c>lux</c> takes.</summary>
    private static string Strobe(EmitterReport e) => e.StrobeHertz <= 0 ? ""
        : string.Create(CultureInfo.InvariantCulture, $" (strobe of {e.StrobeHertz:0.##} Hz, mean of 0.02 s; {e.IntensityNow * 100:0}% at this instant)");

    private static string Moving(AttributeState a) =>
        !a.IsSimulated ? "not simulated: " + a.WhyNot
        : a.IsDefault ? "default: nothing heard" + Note(a)
        : a.ArrivesIn <= 0 ? "there" + Note(a)
        : double.IsInfinity(a.ArrivesIn) ? a.Unit == "Hz" ? "beating" : "turning"
        : string.Create(CultureInfo.InvariantCulture, $"{AttributeNames.Describe(a.Now, a.Unit)}, there in {a.ArrivesIn:0.00} s");

    private static string Note(AttributeState a) => a.Note.Length > 0 ? ": " + a.Note : "";

    private static float[] Three(System.Numerics.Vector3 v) => [v.X, v.Y, v.Z];

    private static string Point(System.Numerics.Vector3 v) => string.Create(CultureInfo.InvariantCulture, $"{v.X:0.00} {v.Y:0.00} {v.Z:0.00}");
}
