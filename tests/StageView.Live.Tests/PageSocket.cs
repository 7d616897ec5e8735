using System.Buffers;
using System.Net.WebSockets;
using System.Runtime.CompilerServices;
using System.Text;
using System.Text.Json;
using StageView.Live.Server;

namespace StageView.Live.Tests;

/// <summary>What a page says to its server and hears from it.</summary>
internal static class PageSocket
{
    private static readonly ConditionalWeakTable<ClientWebSocket, Coming> Pictures = [];

    /// <summary>The wish for a view from the house.</summary>
    public static object View(int width, int height) =>
        new { @do = "view", from = new[] { 0, -14, 3 }, to = new[] { 0, 3, 2 }, fov = 50, ev = 7, size = new[] { width, height } };

    /// <summary>Mean green of a picture as it is sent, 0 to 255.</summary>
    public static double Mean(byte[] frame)
    {
        using var bitmap = SkiaSharp.SKBitmap.Decode(frame.AsSpan(FrameHeader.Length));
        var (sum, count) = (0.0, 0);
        for (var y = 0; y < bitmap.Height; y += 7)
        {
            for (var x = 0; x < bitmap.Width; x += 7)
            {
                sum += bitmap.GetPixel(x, y).Green;
                count++;
            }
        }

        return sum / count;
    }

    public static Task Say(ClientWebSocket socket, object message) =>
        socket.SendAsync(JsonSerializer.SerializeToUtf8Bytes(message), WebSocketMessageType.Text, true, TestContext.Current.CancellationToken);

    /// <summary>Whether a message tells the state of the show, whole or what changed of it.</summary>
    public static bool IsState(byte[] message) =>
        message.AsSpan().StartsWith("{\"t\":\"state\""u8) || message.AsSpan().StartsWith("{\"t\":\"changes\""u8);

    /// <summary>The next message. Slices of pictures are put together.</summary>
    /// <param name="tell">Whether pings and parts of pictures are told to have come, as a page does.</param>
    public static async Task<(WebSocketMessageType Type, byte[] Bytes)> Hear(ClientWebSocket socket, bool tell = true)
    {
        while (true)
        {
            var (type, bytes) = await HearOne(socket);
            if (tell && type == WebSocketMessageType.Text && bytes.AsSpan().StartsWith("{\"t\":\"ping\""u8))
            {
                await Say(socket, new { @do = "pong", n = JsonDocument.Parse(bytes).RootElement.GetProperty("n").GetInt32() });
            }

            if (type != WebSocketMessageType.Binary)
            {
                return (type, bytes);
            }

            var known = Pictures.GetOrCreateValue(socket);
            known.Got += bytes.Length;
            if (tell)
            {
                await Say(socket, new { @do = "got", bytes = known.Got });
            }

            if (bytes[0] == 1)
            {
                return (type, bytes);
            }

            var (from, total) = (BitConverter.ToInt32(bytes, 8), BitConverter.ToInt32(bytes, 12));
            known.Picture = from == 0 ? new byte[total] : known.Picture;
            bytes.AsSpan(SlicedPicture.HeadLength).CopyTo(known.Picture.AsSpan(from));
            if (from + bytes.Length - SlicedPicture.HeadLength == total)
            {
                return (type, known.Picture);
            }
        }
    }

    /// <summary>The next message as it comes, nothing said of it.</summary>
    public static async Task<(WebSocketMessageType Type, byte[] Bytes)> HearOne(ClientWebSocket socket)
    {
        var all = new ArrayBufferWriter<byte>();
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        patience.CancelAfter(TimeSpan.FromMinutes(1));
        while (true)
        {
            var got = await socket.ReceiveAsync(all.GetMemory(65536), patience.Token);
            all.Advance(got.Count);
            if (got.EndOfMessage)
            {
                return (got.MessageType, all.WrittenSpan.ToArray());
            }
        }
    }

    /// <summary>Reads on, acknowledging pictures and pings as a page does, until something fits.</summary>
    /// <param name="acknowledge">Whether pictures are told to be shown.</param>
    /// <param name="tell">Whether what came is told to have come.</param>
    public static async Task<byte[]> HearUntil(
        ClientWebSocket socket, Func<WebSocketMessageType, byte[], bool> fits, bool acknowledge = true, bool tell = true)
    {
        // Only what never comes is waited for so long: a fault must fail, not hang.
        for (var from = TimeProvider.System.GetTimestamp(); TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(5);)
        {
            var (type, bytes) = await Hear(socket, tell);
            if (type == WebSocketMessageType.Close)
            {
                throw new InvalidOperationException($"closed: {socket.CloseStatus} {socket.CloseStatusDescription}");
            }

            if (acknowledge && type == WebSocketMessageType.Binary)
            {
                await Say(socket, new { @do = "shown", n = FrameHeader.Read(bytes).Number });
            }

            if (fits(type, bytes))
            {
                return bytes;
            }
        }

        throw new TimeoutException("what was waited for did not come within five minutes");
    }

    public static async Task<JsonElement> Ask(ClientWebSocket socket, int id, object message)
    {
        await Say(socket, message);
        var answer = await HearUntil(socket, (t, b) => t == WebSocketMessageType.Text && Encoding.UTF8.GetString(b) is var s
            && s.Contains("\"answer\"", StringComparison.Ordinal) && JsonDocument.Parse(s).RootElement.GetProperty("id").GetInt32() == id);
        return JsonDocument.Parse(answer).RootElement;
    }

    private sealed class Coming
    {
        public long Got { get; set; }

        public byte[] Picture { get; set; } = [];
    }
}
