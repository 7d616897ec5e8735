using System.Net.WebSockets;
using System.Text;
using System.Text.Json;
using StageView.Live.Server;

namespace StageView.Live.Tests.Server;

public sealed class ViewerTests
{
    [Fact]
    public async Task A_changed_level_is_seen_in_the_next_picture()
    {
        await using var served = await ServedShow.Start();
        using var socket = await served.Connect();
        await PageSocket.Say(socket, PageSocket.View(320, 180));
        served.Show.Level = 20;
        await PageSocket.HearUntil(socket, (t, b) => t == WebSocketMessageType.Binary && Math.Abs(PageSocket.Mean(b) - 27) < 6);
        served.Show.Level = 200;
        await PageSocket.HearUntil(socket, (t, b) => t == WebSocketMessageType.Binary && Math.Abs(PageSocket.Mean(b) - 207) < 6);
    }

    [Fact]
    public async Task A_viewer_that_shows_nothing_is_sent_no_more_than_two_pictures_and_then_the_newest()
    {
        await using var served = await ServedShow.Start();
        using var socket = await served.Connect();
        await PageSocket.Say(socket, PageSocket.View(320, 180));
        var pictures = new List<byte[]>();
        var (states, since) = (0, 0);

        // Six states, a second and a half, after the second one; a busy machine may take long for the first two.
        while (since < 6 && states < 120)
        {
            served.Show.Level = (served.Show.Level + 1) % 200;
            var (type, bytes) = await PageSocket.Hear(socket);
            if (type == WebSocketMessageType.Binary)
            {
                pictures.Add(bytes);
            }
            else if (PageSocket.IsState(bytes))
            {
                states++;
                since += pictures.Count > 1 ? 1 : 0;
            }
        }

        Assert.Equal(2, pictures.Count);
        served.Show.Level = 240;
        await PageSocket.Say(socket, new { @do = "shown", n = FrameHeader.Read(pictures[^1]).Number });

        // One picture may have been drawn while the page did nothing; the one after it must be the newest.
        var later = new List<double>();
        await PageSocket.HearUntil(socket, (t, b) =>
        {
            if (t == WebSocketMessageType.Binary)
            {
                later.Add(PageSocket.Mean(b));
            }

            return t == WebSocketMessageType.Binary && later[^1] > 235;
        });
        Assert.InRange(later.Count, 1, 2);
    }

    [Fact]
    public async Task A_picture_at_rest_is_sent_once_more_in_full_and_then_no_more()
    {
        await using var served = await ServedShow.Start();
        using var socket = await served.Connect();
        await PageSocket.Say(socket, PageSocket.View(320, 180));
        var (states, pictures, last) = (0, 0, Array.Empty<byte>());

        // At rest means: ten states in a row, two and a half seconds, without a picture. A busy machine may take longer than that for the first two.
        await PageSocket.HearUntil(socket, (t, b) =>
        {
            if (t == WebSocketMessageType.Binary)
            {
                (states, pictures, last) = (0, pictures + 1, b);
            }

            states += t == WebSocketMessageType.Text && PageSocket.IsState(b) ? 1 : 0;
            return states == (pictures < 2 ? 120 : 10);
        });
        Assert.InRange(pictures, 2, 40);
        Assert.Equal((320, 180), (FrameHeader.Read(last).Width, FrameHeader.Read(last).Height));
    }

    [Fact]
    public async Task A_slow_link_gets_smaller_pictures_and_a_fast_one_large_ones_again()
    {
        await using var served = await ServedShow.Start();
        using var socket = await served.Connect();
        await PageSocket.Say(socket, PageSocket.View(640, 360));
        var (rung, width, slow) = (0, 640, true);
        await PageSocket.HearUntil(socket, (t, b) =>
        {
            if (t == WebSocketMessageType.Binary)
            {
                var head = FrameHeader.Read(b);
                (rung, width) = (head.Rung, head.Width);
                served.Show.Level = (served.Show.Level + 3) % 200;
                Task.Delay(slow ? 350 : 1).Wait();
                PageSocket.Say(socket, new { @do = "shown", n = head.Number }).Wait();
                slow &= rung < 5 || width > 320;
            }

            return !slow && rung <= 1 && width == 640;
        }, acknowledge: false);
    }

    [Fact]
    public async Task The_state_is_sent_whole_once_and_then_what_changed_of_it()
    {
        await using var served = await ServedShow.Start();
        using var socket = await served.Connect();
        var states = new List<byte[]>();
        await PageSocket.HearUntil(socket, (_, b) =>
        {
            if (PageSocket.IsState(b))
            {
                states.Add(b);
                served.Show.Universe = "lost";
            }

            return states.Count == 9;
        });
        var (whole, later) = (states[0].Length, states.Skip(1).Average(s => s.Length));
        Assert.True(whole > 1000 && later < whole / 4, $"{whole} bytes whole, and {later} at a time after that");
        Assert.Contains(states.Skip(1),
            s => Encoding.UTF8.GetString(s).Contains("/now/network/universes/0/state\",\"value\":\"lost", StringComparison.Ordinal));
    }

    [Fact]
    public async Task The_journal_is_sent_once_and_then_what_is_new_in_it()
    {
        await using var served = await ServedShow.Start();
        Enumerable.Range(0, 30).ToList().ForEach(i => served.Journal.Say("show", $"line {i}"));
        using var socket = await served.Connect();
        Assert.InRange((await Journal()).Length, 31, 40);
        served.Journal.Say("show", "one more");
        Assert.Equal("one more", Assert.Single(await Journal()).GetProperty("text").GetString());

        async Task<JsonElement[]> Journal() =>
            [.. JsonDocument.Parse(await PageSocket.HearUntil(socket, (_, b) => b.AsSpan().StartsWith("{\"t\":\"journal\""u8))).RootElement
                .GetProperty("entries").EnumerateArray()];
    }

    [Fact]
    public async Task An_answer_passes_before_the_rest_of_a_picture_that_is_under_way()
    {
        await using var served = await ServedShow.Start();
        using var socket = await served.Connect();

        // What came is not told, so that the rest of the picture waits, as it does on a slow link.
        var (slices, answered) = (new List<byte[]>(), false);
        while (!answered)
        {
            var (type, bytes) = await PageSocket.HearOne(socket);
            if (type == WebSocketMessageType.Binary)
            {
                slices.Add(bytes);
                if (slices.Count == 1)
                {
                    await PageSocket.Say(socket, new { @do = "find", id = 3, text = "Spot 3" });
                }
            }

            answered = bytes.AsSpan().StartsWith("{\"t\":\"answer\""u8);
        }

        var total = BitConverter.ToInt32(slices[0], 12);
        var came = slices.Sum(s => s.Length - SlicedPicture.HeadLength);
        Assert.True(came < 17_000 && came < total, $"{came} of {total} bytes came before the answer");

        // The rest comes as it is told, and makes a picture.
        var picture = new byte[total];
        while (true)
        {
            foreach (var s in slices)
            {
                s.AsSpan(SlicedPicture.HeadLength).CopyTo(picture.AsSpan(BitConverter.ToInt32(s, 8)));
            }

            if (slices.Sum(s => s.Length - SlicedPicture.HeadLength) == total)
            {
                break;
            }

            await PageSocket.Say(socket, new { @do = "got", bytes = slices.Sum(s => s.Length) });
            for (var (type, bytes) = await PageSocket.HearOne(socket); ; (type, bytes) = await PageSocket.HearOne(socket))
            {
                if (type == WebSocketMessageType.Binary)
                {
                    slices.Add(bytes);
                    break;
                }
            }
        }

        Assert.Equal((960, 540), (FrameHeader.Read(picture).Width, FrameHeader.Read(picture).Height));
        Assert.InRange(PageSocket.Mean(picture), 1, 15);
    }

    // At 64 kbit/s two seconds are 16 kB: so much may come, of pictures that move all the time, between a question and its answer.
    [Fact]
    public async Task On_a_thin_link_little_comes_between_a_question_and_its_answer()
    {
        await using var served = await ServedShow.Start();
        await using var link = new ThinLink(served.Server.Address, 64_000);
        using var socket = new ClientWebSocket();
        await socket.ConnectAsync(new UriBuilder(new Uri(link.Address, "/live")) { Scheme = "ws" }.Uri, TestContext.Current.CancellationToken);
        await PageSocket.Say(socket, PageSocket.View(960, 540));
        using var end = new CancellationTokenSource();
        var moving = Task.Run(async () =>
        {
            for (; !end.IsCancellationRequested; served.Show.Level = (served.Show.Level + 1) % 200)
            {
                await Task.Delay(20);
            }
        });

        // The second picture is as large as the first, and would take as long again.
        await PageSocket.HearUntil(socket, (t, _) => t == WebSocketMessageType.Binary);
        var before = link.Came;
        var answer = await PageSocket.Ask(socket, 8, new { @do = "find", id = 8, text = "Spot 3" });
        Assert.True(answer.GetProperty("ok").GetBoolean());
        Assert.InRange(link.Came - before, 1, 16_000);
        await end.CancelAsync();
        await moving;
    }

    [Fact]
    public async Task An_oversized_message_ends_the_visit_and_says_why()
    {
        await using var served = await ServedShow.Start();
        using var socket = await served.Connect();
        await socket.SendAsync(new byte[1 << 20], WebSocketMessageType.Text, true, TestContext.Current.CancellationToken);
        Assert.Equal(WebSocketCloseStatus.MessageTooBig, await Closed(socket));
    }

    [Fact]
    public async Task A_page_that_asks_without_reading_is_let_go_and_another_is_answered_meanwhile()
    {
        await using var served = await ServedShow.Start(new LiveServerOptions { SendPatience = TimeSpan.FromSeconds(5) });
        using var good = await served.Connect();
        using var greedy = await served.Connect();
        var asked = 0;
        try
        {
            for (; asked < 200_000 && greedy.State == WebSocketState.Open; asked++)
            {
                await PageSocket.Say(greedy, new { @do = "find", id = asked, text = "Spot" });
            }
        }
        catch (Exception e) when (e is WebSocketException or IOException or OperationCanceledException)
        {
            // Let go while asking.
        }

        Assert.InRange(asked, 64, 199_999);
        var answer = await PageSocket.Ask(good, 7, new { @do = "find", id = 7, text = "Spot 3" });
        Assert.Equal(1, answer.GetProperty("data").GetArrayLength());
        await Until(() => served.Server.Viewers == 1);
    }

    [Fact]
    public async Task Nonsense_is_counted_and_ends_the_visit_but_hurts_no_other()
    {
        await using var served = await ServedShow.Start();
        using var good = await served.Connect();
        using var bad = await served.Connect();
        foreach (var text in Enumerable.Repeat(
            new[] { "{", "[]", "{\"do\":7}", "{\"do\":\"view\",\"from\":[1,2]}", "\0",
                "{\"do\":\"view\",\"from\":[1e99,0,0],\"to\":[0,0,0],\"fov\":50,\"ev\":7,\"size\":[1,1]}" }, 5).SelectMany(x => x))
        {
            try
            {
                if (bad.State == WebSocketState.Open)
                {
                    await bad.SendAsync(Encoding.UTF8.GetBytes(text), WebSocketMessageType.Text, true, TestContext.Current.CancellationToken);
                }
            }
            catch (WebSocketException)
            {
                // Ended between the look and the word: Closed tells how.
                break;
            }
        }

        Assert.Equal(WebSocketCloseStatus.InvalidPayloadData, await Closed(bad));
        var answer = await PageSocket.Ask(good, 5, new { @do = "fixture", id = 5, fixture = "Spot 4" });
        Assert.Equal("Spot 4", answer.GetProperty("data").GetProperty("name").GetString());
    }

    [Fact]
    public async Task Questions_with_missing_or_wild_values_are_refused_in_words()
    {
        await using var served = await ServedShow.Start();
        using var socket = await served.Connect();
        var id = 0;
        foreach (var question in new object[]
        {
            new { @do = "fixture", id = 1, fixture = -1 }, new { @do = "fixture", id = 2, fixture = "Spot 13" }, new { @do = "pick", id = 3, x = 2, y = 0 },
            new { @do = "seek", id = 4, seconds = "x" },
            new { @do = "move", id = 5, fixture = "Spot 1", at = new[] { 1, 2 } }, new { @do = "move", id = 6, fixture = "Spot 1", at = new[] { 1e6, 0, 0 } },
            new { @do = "no such thing", id = 7 }, new { @do = "open", id = 8, name = "../../etc/passwd" },
        })
        {
            id++;
            var answer = await PageSocket.Ask(socket, id, question);
            Assert.False(answer.GetProperty("ok").GetBoolean());
            Assert.NotEmpty(answer.GetProperty("text").GetString()!);
        }
    }

    [Fact]
    public async Task A_point_with_a_wrong_field_is_refused_by_the_fields_name_and_range()
    {
        await using var served = await ServedShow.Start();
        using var socket = await served.Connect();
        var id = 0;
        foreach (var (question, wanted) in new (object, string)[]
        {
            (new { @do = "aim", id = 1, fixture = "Spot 1", at = new object?[] { 1, null, 2 } }, "Y is empty or no number: metres from -1000 to 1000"),
            (new { @do = "move", id = 2, fixture = "Spot 1", at = new object?[] { 1, 2, 1e6 } }, "Z is out of range: metres from -1000 to 1000"),
            (new { @do = "move", id = 3, fixture = "Spot 1", at = new object?[] { "4", 2, 3 } }, "X is empty or no number: metres from -1000 to 1000"),
            (new { @do = "move", id = 4, fixture = "Spot 1" }, "the point is missing: X, Y and Z, metres from -1000 to 1000"),
            (new { @do = "seek", id = 5, seconds = "x" }, "the time is missing or out of range: seconds from 0"),
        })
        {
            Assert.Equal(wanted, (await PageSocket.Ask(socket, ++id, question)).GetProperty("text").GetString());
        }
    }

    [Fact]
    public async Task One_viewer_too_many_is_told_and_one_that_left_makes_room()
    {
        await using var served = await ServedShow.Start(new LiveServerOptions { MostViewers = 3 });
        var sockets = new List<ClientWebSocket>();
        for (var i = 0; i < 3; i++)
        {
            sockets.Add(await served.Connect());
        }

        for (var i = 0; i < 3; i++)
        {
            using var refused = await served.Connect();
            Assert.Equal(WebSocketCloseStatus.PolicyViolation, await Closed(refused));
            Assert.Equal("3 viewers at once is the most; close one, and this page goes on", refused.CloseStatusDescription);
        }

        // It is written down once, however often it asks again.
        Assert.Single(served.Journal.Newest(50), e => e.Text.StartsWith("one viewer too many", StringComparison.Ordinal));
        await sockets[0].CloseAsync(WebSocketCloseStatus.NormalClosure, "", TestContext.Current.CancellationToken);
        await Until(() => served.Server.Viewers == 2);
        sockets.Add(await served.Connect());
        await PageSocket.HearUntil(sockets[^1], (t, _) => t == WebSocketMessageType.Binary);
        sockets.ForEach(s => s.Dispose());
        await Until(() => served.Server.Viewers == 0);
    }

    [Fact]
    public async Task A_renderer_that_fails_is_made_anew_and_the_answers_never_stop()
    {
        var failing = true;
        await using var served = await ServedShow.Start(pictures: s => new SyntheticPictures(s) { Fail = () => failing });
        using var socket = await served.Connect();
        var state = await PageSocket.HearUntil(socket,
            (t, b) => t == WebSocketMessageType.Text && Encoding.UTF8.GetString(b).Contains("the context is lost", StringComparison.Ordinal));
        Assert.NotEmpty(state);
        Assert.True((await PageSocket.Ask(socket, 9, new { @do = "record", id = 9, on = true })).GetProperty("ok").GetBoolean());
        failing = false;
        await PageSocket.HearUntil(socket, (t, _) => t == WebSocketMessageType.Binary);
        Assert.Contains(served.Journal.Newest(50), e => e.Text.Contains("drawing again", StringComparison.Ordinal));
    }

    [Fact]
    public async Task The_journal_can_be_downloaded()
    {
        await using var served = await ServedShow.Start();
        served.Journal.Say("network", "source \u001b[31mdesk\u0007 stopped");
        using var http = served.Http();
        using var answer = await http.GetAsync("/journal.txt", TestContext.Current.CancellationToken);
        var text = await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.Equal("attachment", answer.Content.Headers.ContentDisposition!.DispositionType);
        Assert.Contains("source ␣[31mdesk␣ stopped", text, StringComparison.Ordinal);
        Assert.Equal("network", JsonDocument.Parse(
            (await http.GetStringAsync("/journal.jsonl", TestContext.Current.CancellationToken)).Split('\n')[0]).RootElement.GetProperty("kind").GetString());
    }

    private static async Task<WebSocketCloseStatus?> Closed(ClientWebSocket socket)
    {
        try
        {
            // No acknowledging: a write to a visit that was just ended would fail before its closing word is read.
            await PageSocket.HearUntil(socket, (_, _) => false, acknowledge: false, tell: false);
        }
        catch (InvalidOperationException)
        {
            // Closed, which is what is asked.
        }

        return socket.CloseStatus;
    }

    private static async Task Until(Func<bool> holds)
    {
        for (var i = 0; i < 2400 && !holds(); i++)
        {
            await Task.Delay(25, TestContext.Current.CancellationToken);
        }

        Assert.True(holds());
    }
}
